# Two things are needed: python3 (3.11 or newer, with venv) and make.
#   make plan                 weighs an invented case; make plan CASE=path/to/case.toml weighs yours
#   make test                 checks style, types and behaviour; make test WORKERS=8 uses more cores
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
WORKERS ?= 2
CASE ?= examples/deep_branch_strong_peroneals.toml

PIP := $(BIN)/python -m pip --disable-pip-version-check --quiet
LOCKED := install --require-hashes --only-binary :all:
OWN := install --no-index --no-deps --no-build-isolation --editable .

.PHONY: plan test lock clean

plan: $(VENV)/.plan-ready
	@test -n "$(CASE)" || { echo "No case found: name one with  make plan CASE=path/to/case.toml"; exit 2; }
	@$(BIN)/sinewright weigh "$(CASE)"

test: $(VENV)/.test-ready
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/python tools/compile_kernels.py
	$(BIN)/python -m pytest -n $(WORKERS) --dist loadscope --no-loadscope-reorder

# A stamp is newer than what it was made from; the package itself is linked, so an edit needs no second installation.
$(VENV)/.plan-ready: $(VENV)/.made requirements/run.lock pyproject.toml
	@echo "Installing what the calculation needs into $(VENV) (once) ..."
	@$(PIP) $(LOCKED) --requirement requirements/run.lock
	@$(PIP) $(OWN)
	@touch $@

$(VENV)/.test-ready: $(VENV)/.made requirements/test.lock pyproject.toml
	@echo "Installing what the tests need into $(VENV) (once) ..."
	@$(PIP) $(LOCKED) --requirement requirements/test.lock
	@$(PIP) $(OWN)
	@touch $@

$(VENV)/.made:
	@command -v $(PYTHON) >/dev/null || { echo "No $(PYTHON) found. On Debian or Ubuntu: sudo apt install python3 python3-venv"; exit 2; }
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	  echo "Python 3.11 or newer is needed; $(PYTHON) is $$($(PYTHON) --version 2>&1). Name another: make plan PYTHON=python3.12"; exit 2; }
	@$(PYTHON) -c 'import venv, ensurepip' 2>/dev/null || { \
	  echo "$(PYTHON) cannot make a virtual environment. On Debian or Ubuntu: sudo apt install python3-venv"; exit 2; }
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	@$(BIN)/python -m pip --version >/dev/null 2>&1 || $(BIN)/python -m ensurepip --upgrade >/dev/null
	@touch $@

# Needs uv. Versions and hashes only, for every system; no addresses.
LOCK := uv pip compile --quiet --universal --python-version 3.11 --generate-hashes \
        --no-header --no-annotate --no-emit-index-url --no-emit-find-links pyproject.toml requirements/build.in
lock:
	$(LOCK) --output-file requirements/run.lock
	$(LOCK) --extra test --extra dev --constraint requirements/run.lock --output-file requirements/test.lock

clean:
	rm -rf $(VENV) .pytest_cache .mypy_cache .ruff_cache build dist
