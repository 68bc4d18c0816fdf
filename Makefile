# Every target creates what it needs from nothing: a virtual environment in .venv with pinned, hash-checked packages.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/ready
EVAL := tests/eval

.DEFAULT_GOAL := help
.PHONY: help demo test check eval train bench shots lock format clean

help:  ## list the targets
	@grep -E '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:[^#]*## /\t/' | expand -t 10

demo: $(READY)  ## turn the sample recordings into sheets and say where they lie
	$(BIN)/critsheet demo

test: $(READY)  ## run all tests
	$(BIN)/python -m pytest

check: $(READY)  ## format, lint, types, vocabulary, generated files up to date
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/critsheet vocab check
	$(BIN)/python -m critsheet.schema --check

eval: $(READY)  ## score the held-out critiques, case by case, and write a page for each
	$(BIN)/python $(EVAL)/evaluate.py

train: $(READY)  ## learn the weights again from the labelled corpus
	$(BIN)/python $(EVAL)/train.py

bench: $(READY)  ## time and memory of each stage
	$(BIN)/python tests/bench/speech.py
	$(BIN)/python tests/bench/language.py
	$(BIN)/python tests/bench/frames.py
	$(BIN)/python tests/bench/batch.py
	$(BIN)/python tests/bench/archive.py

shots: $(READY)  ## look at the page: pictures of it on screens and on paper, in build/shots
	$(BIN)/python tests/shots.py

format: $(READY)  ## put the code in its usual form
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

lock: $(READY)  ## write the pinned packages again from pyproject.toml
	$(BIN)/pip install --quiet uv
	$(BIN)/uv pip compile pyproject.toml --group dev --universal --generate-hashes --python-version 3.11 \
		--quiet --custom-compile-command "make lock" --output-file .ci/requirements.lock

clean:  ## remove the virtual environment and caches
	rm -rf $(VENV) .mypy_cache .ruff_cache .pytest_cache .hypothesis

$(READY): .ci/requirements.lock pyproject.toml
	$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Critsheet needs Python 3.11 or newer: make PYTHON=python3.11 ...")'
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --require-hashes -r .ci/requirements.lock
	$(BIN)/python -m pip install --quiet --no-deps --no-build-isolation --editable .
	touch $@
