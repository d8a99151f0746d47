# make demo | test | slow | bench: each makes its own environment in .venv first.
PYTHON ?= python3
RUN := .venv/bin
READY := .venv/.ready

.PHONY: demo test slow bench check

demo: $(READY)
	$(RUN)/roofyield demo

test: $(READY) check
	$(RUN)/pytest -q -m "not slow and not bench" --durations=10

slow: $(READY)
	$(RUN)/pytest -q -m slow --durations=10

bench: $(READY)
	$(RUN)/pytest -q -s -m bench

check: $(READY)
	$(RUN)/ruff format --check .
	$(RUN)/ruff check .
	$(RUN)/sqlfluff lint --disable-progress-bar sql
	$(RUN)/mypy pipelines schemas reports sql sample_data
	$(RUN)/lint-imports

$(READY): requirements.lock pyproject.toml
	$(PYTHON) -m venv .venv
	$(RUN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(RUN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	touch $@
