"""Closed lists of words. A firm's own lists (job types, lay-ups, crews) stand in its settings."""

KINDS = (
    "trim",
    "corner piece",
    "board",
    "batten",
    "firring",
    "resin",
    "topcoat",
    "catalyst",
    "primer",
    "mat",
    "bandage",
    "adhesive",
    "sealant",
    "fixing",
    "solvent",
    "insulation",
    "sundry",
)
WORKS = ("new deck", "strip", "overlay", "repair")
STATUSES = ("quoted", "booked", "completed", "lost", "lapsed", "cancelled")
HOW_FOUND = ("weighed", "counted", "judged", "whole packs")
EDGE_ENDS = ("plain", "corner piece", "mitre", "into wall")
EDGE_KINDS = (
    "gutter",
    "verge",
    "wall",
    "under tiles",
    "door threshold",
    "parapet",
    "movement joint",
)
FATES = ("racked", "binned", "from_rack", "scrapped")
LOSS_CAUSES = ("gone off", "rain", "spilt", "damaged", "done again", "out of date", "own use")
DOCUMENT_TYPES = ("invoice", "credit")
LINE_KINDS = (
    "goods",
    "carriage",
    "deposit",
    "hire",
    "discount",
    "rounding",
    "rebate",
    "other",
)
DECISIONS = ("accept", "keep", "set")
COVERAGE_BASES = ("net", "gross")
COSTINGS = ("fifo", "average")
YES_NO = ("yes", "no")

OTHER_SPELLINGS = {
    "status": {"complete": "completed", "finished": "completed", "done": "completed"},
    "work": {"new": "new deck", "strip and re-deck": "strip", "re-roof": "strip"},
    "how": {"weigh": "weighed", "guess": "judged", "guessed": "judged", "count": "counted"},
    "as_drawn": {"y": "yes", "n": "no", "true": "yes", "false": "no"},
    "document_type": {"inv": "invoice", "credit note": "credit", "cr": "credit"},
    "line_kind": {"delivery": "carriage"},
    "cause": {"set in the bucket": "gone off", "redone": "done again", "damage": "damaged"},
    "fate": {"to rack": "racked", "bin": "binned", "from rack": "from_rack"},
}
"""Other spellings of a listed word that mean nothing else, by column."""
