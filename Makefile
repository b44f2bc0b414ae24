# Two commands do all the set-up on a machine with Python 3.11+ and git: make demo, make test.
PYTHON ?= python3
PORT ?= 8440
DATA ?= demo-data
VENV := .venv
BIN := $(VENV)/bin
export PIP_DISABLE_PIP_VERSION_CHECK := 1

.PHONY: demo demo-half-year test lint bench shots clean

$(VENV)/ready: pyproject.toml .ci/constraints.txt
	$(PYTHON) -m venv $(VENV)
	$(BIN)/pip install --quiet --constraint .ci/constraints.txt --editable '.[heic,test]'
	touch $@

demo: $(VENV)/ready
	$(BIN)/python -m sample_units.demo --data $(DATA) --port $(PORT)

demo-half-year: $(VENV)/ready
	$(BIN)/python -m sample_units.half_year $(DATA)-half-year --serve $(PORT)

test: $(VENV)/ready
	BIN=$(BIN) bash .ci/test

lint: $(VENV)/ready
	BIN=$(BIN) bash .ci/lint

bench: $(VENV)/ready
	$(BIN)/python -m tests.bench

shots: $(VENV)/ready
	$(BIN)/python -m sample_units.shots

clean:
	rm -rf $(VENV) $(DATA) $(DATA)-half-year build dist *.egg-info .pytest_cache .mypy_cache .ruff_cache .hypothesis
