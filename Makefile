# make demo | test | slow | bench: each makes its own environment in .venv first.
PYTHON ?= python3
RUN := .venv/bin
READY := .venv/.ready

.PHONY: demo test slow bench check pictures

demo: $(READY)
	$(RUN)/roofyield demo

test: $(READY) check
	$(RUN)/pytest -q -n 2 --dist loadfile -m "not slow and not bench" --durations=10

slow: $(READY)
	$(RUN)/pytest -q -m slow --durations=10

bench: $(READY)
	$(RUN)/pytest -q -s -m bench

pictures: demo
	for page in owner estimator; do \
	  chromium --headless --no-sandbox --disable-gpu --hide-scrollbars --window-size=1280,1150 \
	    --disable-background-networking --user-data-dir=$$(mktemp -d) \
	    --screenshot=sample_data/pictures/$$page.png file://$(CURDIR)/demo/pages/$$page.html; \
	done

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
