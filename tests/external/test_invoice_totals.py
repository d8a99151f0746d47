"""
The sums of electronic invoices.

Source: the example documents of the European standard's technical committee, in the public
repository of validation artefacts for EN 16931 of the European Commission (EUPL 1.2 as their
heads say): ubl-tc434-example2 (in NOK) and CII_example5 (in DKK). Only their figures stand here.
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from pipelines.receiving.invoice_totals import Taxed, Totals, VatGroup, find_broken_rules


def taxed(amount, category, rate):
    return Taxed(Decimal(amount), category, Decimal(rate))


def group(category, rate, taxable, vat):
    return VatGroup(category, Decimal(rate), Decimal(taxable), Decimal(vat))


EXAMPLE_2 = {
    "lines": [
        taxed("1273.00", "S", 25),
        taxed("-3.96", "S", 15),
        taxed("4.96", "S", 15),
        taxed("-25.00", "E", 0),
        taxed("187.50", "S", 25),
    ],
    "allowances": [taxed("100.00", "S", 25)],
    "charges": [taxed("100.00", "S", 25)],
    "groups": [
        group("S", 25, "1460.50", "365.13"),
        group("S", 15, "1.00", "0.15"),
        group("E", 0, "-25.00", "0.00"),
    ],
    "stated": Totals(
        line_nets=Decimal("1436.50"),
        without_vat=Decimal("1436.50"),
        with_vat=Decimal("1801.78"),
        due=Decimal("801.78"),
        allowances=Decimal("100.00"),
        charges=Decimal("100.00"),
        vat=Decimal("365.28"),
        paid_before=Decimal("1000.00"),
    ),
}
EXAMPLE_5 = {
    "lines": [taxed("1000", "S", 25), taxed("500", "S", 25), taxed("2500", "S", 12)],
    "allowances": [taxed("150", "S", 25)],
    "charges": [taxed("150", "S", 25)],
    "groups": [group("S", 25, "1500", "375"), group("S", 12, "2500", "300")],
    "stated": Totals(
        line_nets=Decimal("4000.00"),
        without_vat=Decimal(4000),
        with_vat=Decimal(4675),
        due=Decimal("2337.5"),
        allowances=Decimal(150),
        charges=Decimal(150),
        vat=Decimal("675.00"),
        paid_before=Decimal("2337.5"),
    ),
}


@pytest.mark.parametrize("example", [EXAMPLE_2, EXAMPLE_5])
def test_the_published_sums_prove_each_other(example):
    assert list(find_broken_rules(**example)) == []


@pytest.mark.parametrize("example", [EXAMPLE_2, EXAMPLE_5])
@pytest.mark.parametrize(
    ("total", "rules"),
    [
        ("line_nets", ["BR-CO-10", "BR-CO-13"]),
        ("allowances", ["BR-CO-11", "BR-CO-13"]),
        ("charges", ["BR-CO-12", "BR-CO-13"]),
        ("without_vat", ["BR-CO-13", "BR-CO-15"]),
        ("vat", ["BR-CO-14", "BR-CO-15"]),
        ("with_vat", ["BR-CO-15", "BR-CO-16"]),
        ("paid_before", ["BR-CO-16"]),
        ("due", ["BR-CO-16"]),
    ],
)
def test_a_penny_off_breaks_the_rules_that_use_the_total(example, total, rules):
    stated = example["stated"]
    off = replace(stated, **{total: getattr(stated, total) + Decimal("0.01")})
    broken = list(find_broken_rules(**{**example, "stated": off}))

    assert [reason.rsplit("rule ", 1)[1].rstrip(")") for reason in broken] == rules
