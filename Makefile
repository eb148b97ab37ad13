# make demo · make test · make bench · make bench-pages · make faults · make audit · make soak: each sets up
# what it needs.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
AUDIT := .venv-audit
EXTRAS ?= test
INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt

.PHONY: demo test bench bench-pages faults audit soak clean

demo: $(VENV)/installed
	$(BIN)/ohmhours demo

test: $(VENV)/installed-test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/python -m pytest

bench: EXTRAS := test,bench
bench: $(VENV)/installed-bench
	$(BIN)/python -m tests.bench.innocents
	$(BIN)/python -m tests.bench.speed $(JOBS)

bench-pages: $(VENV)/installed-test
	$(BIN)/python -m tests.bench.pages

faults: $(VENV)/installed-test
	$(BIN)/python -m tests.trust.faults

soak: $(VENV)/installed-test
	$(BIN)/python -m tests.bench.soak

audit:  # known weaknesses of the pinned packages, asked of an advisory service on the network
	$(PYTHON) -m venv $(AUDIT)
	$(AUDIT)/bin/python -m pip install --quiet --disable-pip-version-check "pip-audit>=2.10,<3"
	$(AUDIT)/bin/pip-audit --strict --disable-pip --no-deps --requirement constraints.txt

$(VENV)/installed: pyproject.toml constraints.txt
	$(PYTHON) -m venv $(VENV)
	$(INSTALL) -e .
	touch $@

$(VENV)/installed-test: pyproject.toml constraints.txt
	$(PYTHON) -m venv $(VENV)
	$(INSTALL) -e '.[$(EXTRAS)]'
	touch $@ $(VENV)/installed

$(VENV)/installed-bench: $(VENV)/installed-test
	$(INSTALL) -e '.[$(EXTRAS)]'
	touch $@

clean:
	rm -rf $(VENV) $(AUDIT) .pytest_cache .ruff_cache .hypothesis
