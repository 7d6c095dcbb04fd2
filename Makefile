# Needs make and Python 3.11 or newer; everything else is installed into .venv, at the versions of constraints.txt.
# Another Python: make PYTHON=python3.12 test

PYTHON ?= python3
BIN := .venv/bin
READY := .venv/.ready
COMPILED := .venv/.compiled
PIP_INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt
GENERATE := PYTHONPATH=.:docs $(BIN)/python -m generate
DEMO := build/demo
# Each process takes tests in their order and leaves the other processors to the others; who is done first takes over some.
# The gate takes of each sweep over demo cars or pages a few cases (tests/thinned.py), and proves fewer packages of a search;
# `make validate` takes all.
PYTEST := OPENBLAS_NUM_THREADS=1 $(BIN)/python -m pytest -n auto --maxprocesses 4 --dist worksteal

# What Python once compiled is kept, for the program and for each process of its tests.
unexport PYTHONDONTWRITEBYTECODE

.PHONY: run test check validate endurance bench docs lint pages clean

# The workbench on the demo book, until it is ended with Ctrl+C; what was changed there is there the next time.
run: $(COMPILED) $(DEMO)
	$(BIN)/jounce serve $(DEMO)/shop.db

# The demo cars in a shop book: made beside and moved there whole, and only once.
$(DEMO): | $(COMPILED)
	@rm -rf $(DEMO).part
	$(BIN)/jounce example $(DEMO).part
	$(BIN)/jounce book new $(DEMO).part/shop.db
	$(BIN)/jounce book customer $(DEMO).part/shop.db "A. Example"
	$(BIN)/jounce book keep $(DEMO).part/shop.db $(DEMO).part/brisk-14.toml --of "A. Example"
	@for file in sedge-13 comfrey-20 shop; do $(BIN)/jounce book keep $(DEMO).part/shop.db $(DEMO).part/$$file.toml || exit 1; done
	$(BIN)/jounce book keep $(DEMO).part/shop.db $(DEMO).part/brisk-14-lower.toml --of "Brisk 14"
	$(BIN)/jounce book keep $(DEMO).part/shop.db $(DEMO).part/comfrey-20-lower.toml --of "Comfrey 20"
	$(BIN)/jounce book shelf $(DEMO).part/shop.db $(DEMO).part/shelf.toml
	@mv $(DEMO).part $(DEMO)

# Everything: lint, types, layers, docs, every test. The tests come last: their closing line is the last one printed.
# With `make -j2 test` lint and pages go on beside the compiling.
test: $(COMPILED) lint pages
	$(PYTEST) --thinned -m "not validation_long and not endurance"

# The gate for every save: the same without the documentation and the slow tests.
check: $(COMPILED) lint
	$(PYTEST) --thinned -m "not validation_slow and not validation_long and not endurance"

# All tests with all their cases: every sweep whole, over each demo car, page and layout, thousands of files with slips in
# them, hundreds of garages that read simulated cars, rendered walks round a car with a telephone.
validate: $(COMPILED)
	$(PYTEST) -m "not endurance"

# Hundreds of kills, interruptions and random jobs: many minutes.
endurance: $(COMPILED)
	$(PYTEST) -m endurance

# Speed beside other ways of doing the same.
bench: $(COMPILED)
	$(BIN)/python -m bench

# Writes the generated parts of the pages again, then builds the pages.
docs: $(READY)
	$(GENERATE)
	$(GENERATE).asked_weights
	@$(MAKE) --no-print-directory pages

lint: $(READY)
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo

# Only builds: stale generated parts are for a test to find, not for a build to hide.
pages: $(READY)
	$(BIN)/python -m sphinx -q -W --keep-going -E -b html docs build/docs
	@echo "The pages are in build/docs/index.html."

$(READY): pyproject.toml constraints.txt
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	  echo "jounce needs Python 3.11 or newer; $(PYTHON) is: $$($(PYTHON) --version 2>&1)."; \
	  echo "Name another one: make PYTHON=python3.12 $(MAKECMDGOALS)"; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { \
	  echo "$(PYTHON) cannot make a virtual environment. On Debian: apt-get install python3-venv"; exit 1; }
	$(PYTHON) -m venv .venv
	$(PIP_INSTALL) hatchling
	$(PIP_INSTALL) --no-build-isolation -e '.[dev]'
	@touch $(READY)

$(COMPILED): $(READY)
	@echo "Compiling the mechanics, once (two to three minutes)."
	@$(BIN)/python -m compileall -q src
	@$(BIN)/python -m jounce.cli.warm_up
	@touch $(COMPILED)

clean:
	rm -rf .venv build
