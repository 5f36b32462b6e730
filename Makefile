# Redstave: every target first makes what it needs. `make` alone lists them.
# Set PYTHON to choose the interpreter (3.11 or newer), JOBS for the number of test processes.

JOBS ?= 2
FUZZ_SECONDS ?= 60
BIN := .venv/bin
RUN_READY := .venv/.ready
DEV_READY := .venv/.ready-dev
DOCS_READY := .venv/.ready-docs

.DEFAULT_GOAL := help
.PHONY: help demo test lint bench fuzz corpus-diff evidence pages docs pins clean

help: ## say what can be made
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "  make %-11s %s\n", $$1, $$2 }' $(MAKEFILE_LIST)

demo: $(RUN_READY) ## set up everything, review the demonstration score, say where the letter is
	$(BIN)/redstave demo --out demo-out

test: $(DEV_READY) ## set up everything and run all tests
	$(BIN)/python -m pytest -n $(JOBS)

lint: $(DEV_READY) ## style, types, layers and spelling of the code
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	git ls-files -z | xargs -0 $(BIN)/codespell

bench: $(DEV_READY) ## measure speed and hit rates, print the tables
	$(BIN)/python -m tools.make_evidence --folder benchmarks --out -

corpus-diff: $(DEV_READY) ## BASE=REV: findings that appeared and vanished on real scores since REV
	$(BIN)/python -m tools.corpus_diff $(or $(BASE),HEAD)

fuzz: $(DEV_READY) ## throw damaged files at the reader for FUZZ_SECONDS (60)
	$(BIN)/python -m fuzz.reading $(FUZZ_SECONDS)

evidence: $(DEV_READY) ## measure against outside references, write docs/evidence.md
	$(BIN)/python -m tools.make_evidence

pages: $(DEV_READY) ## write the pages of docs/ that are made from the program
	$(BIN)/python -m tools.make_pages write

docs: $(DOCS_READY) ## build the documentation into site/
	$(BIN)/python -m mkdocs build --strict

pins: $(DEV_READY) $(DOCS_READY) ## write requirements/*.txt and THIRD_PARTY.md from what is installed now
	$(BIN)/python -m tools.pin_requirements
	$(BIN)/python -m tools.list_third_party

clean: ## remove what was made, except .venv
	rm -rf build dist site demo-out .coverage .pytest_cache .mypy_cache .ruff_cache \
	  .import_linter_cache .hypothesis
	find src tests tools benchmarks -name __pycache__ -prune -exec rm -rf {} + 2>/dev/null || true

# Set-up happens once, and again when the pins change.

$(RUN_READY): requirements/run.txt requirements/build.txt pyproject.toml tools/set_up.sh
	sh tools/set_up.sh run build
	@touch $@

$(DEV_READY): $(RUN_READY) requirements/dev.txt
	sh tools/set_up.sh dev
	@touch $@

$(DOCS_READY): $(RUN_READY) requirements/docs.txt
	sh tools/set_up.sh docs
	@touch $@
