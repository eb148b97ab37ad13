# make demo · check · test · test-all · bench · bench-pages · faults · attack · soak · audit · sbom: each
# sets up what it needs.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
AUDIT := .venv-audit
EXTRAS ?= test
INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt

.PHONY: demo check test test-all bench bench-pages faults attack audit sbom lock locked soak clean

demo: $(VENV)/installed
	$(BIN)/ohmhours demo

WORKERS ?= 2
PYTEST := $(BIN)/python -m pytest -n $(WORKERS) --dist loadscope

check: $(VENV)/installed-test  # lint, types, statistics, readings, architecture: a minute
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(PYTEST) -m "not slow" tests/stats tests/etl/readings tests/repo/test_architecture.py

test: $(VENV)/installed-test  # everything but what needs a browser, Spark or many minutes
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(PYTEST) -m "not slow and not browser and not spark and not bench"

SLOW := slow and not browser and not spark and not bench
# A browser, Spark or a killed process may be late on a busy machine: what failed is run once more,
# and what fails again fails.
AGAIN := $(BIN)/python -m pytest --last-failed --last-failed-no-failures none

test-all: test  # what .ci/run runs; make bench is apart
	$(PYTEST) -m "$(SLOW)" || $(AGAIN) -m "$(SLOW)"
	$(BIN)/python -m pytest -m browser || $(AGAIN) -m browser
	$(BIN)/python -m pytest -m spark || $(AGAIN) -m spark

bench: EXTRAS := test,bench
bench: $(VENV)/installed-bench
	$(BIN)/python -m tests.bench.innocents
	$(BIN)/python -m tests.bench.power
	$(BIN)/python -m tests.bench.bounds
	$(BIN)/python -m tests.bench.verdicts $(CHECK)
	$(BIN)/python -m tests.bench.second_shop
	$(BIN)/python -m tests.bench.speed $(JOBS) $(CHECK)

bench-pages: $(VENV)/installed-test
	$(BIN)/python -m tests.bench.pages

faults: $(VENV)/installed-test
	$(BIN)/python -m tests.trust.faults

attack: $(VENV)/installed-test
	$(BIN)/python -m tests.trust.attack

soak: $(VENV)/installed-test
	$(BIN)/python -m tests.bench.soak

audit:  # known weaknesses of the pinned packages, asked of an advisory service on the network
	$(PYTHON) -m venv $(AUDIT)
	$(AUDIT)/bin/python -m pip install --quiet --disable-pip-version-check "pip-audit>=2.10,<3"
	$(AUDIT)/bin/pip-audit --strict --disable-pip --no-deps --requirement constraints.txt

sbom: $(VENV)/installed  # what is installed to run, as a CycloneDX bill of materials
	$(PYTHON) -m venv $(AUDIT)
	$(AUDIT)/bin/python -m pip install --quiet --disable-pip-version-check "cyclonedx-bom>=7,<8"
	$(AUDIT)/bin/cyclonedx-py environment --pyproject pyproject.toml --output-reproducible \
		--output-file sbom.cdx.json $(BIN)/python

lock: $(VENV)/installed  # the hash of every package that runs, for this Python and system
	$(BIN)/python -m pip install --dry-run --ignore-installed --quiet --disable-pip-version-check \
		--report .ci/report.json -c constraints.txt '.[signin]'
	$(BIN)/python .ci/lock.py .ci/report.json
	rm .ci/report.json

locked:  # the pages alone, every package checked against its hash
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes \
		-r .ci/requirements-locked.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps -e .

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
