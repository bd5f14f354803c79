# Shellbed. `make` alone says what there is. Everything is set up in .venv, nothing elsewhere.
# The same commands without make, for Windows and others, stand in README.md.

PYTHON ?= python3
JOB ?= jobs/quandong-rise.yml
VENV := .venv
BIN := $(VENV)/bin
INSTALL := $(BIN)/python -m pip install --quiet --disable-pip-version-check

.DEFAULT_GOAL := help
.PHONY: help guide test browser check-code bench random-jobs random-figures crash-packs validation gallery language-server lock clean

help:
	@echo "make guide       set up, then build the guide of a demo job (JOB=jobs/other.yml for another)"
	@echo "make test        set up, then run every test"
	@echo "make browser     set up, then the tests in real browsers; fails where one is missing"
	@echo "make check-code  set up, then ruff and mypy over the code"
	@echo "make bench       set up, then time whole commands and batches of up to 500 jobs (takes half an hour)"
	@echo "make random-jobs set up, then work 10,000 random jobs (N=500 for fewer, SEED=7 for others)"
	@echo "make random-figures  set up, then draw every figure of 200 random jobs and judge it (N=, SEED= as above)"
	@echo "make crash-packs set up, then kill 200 packs at random and run 20 on a full disk (N=, FULL=, SEED=)"
	@echo "make validation  set up, then write VALIDATION.md: our numbers beside numbers in print"
	@echo "make gallery     set up, then out/gallery: every figure of every demo job; renew the pictures of README.md"
	@echo "make language-server  set up, then try shared/job.schema.json with a real language server (takes npm)"
	@echo "make lock        renew requirements*.lock from pyproject.toml"
	@echo "make clean       remove out/, caches and .venv"

guide: $(VENV)/ready
	@echo "Building the guide of $(JOB)"
	@$(BIN)/python -m builder guide $(JOB)

test: $(VENV)/ready-dev
	@echo "Running the tests; the last line is the result"
	@$(BIN)/python -m pytest -q -n 2

browser: $(VENV)/ready-dev .cache/checkers/ready
	@echo "Opening the built guides in real browsers"
	@SHELLBED_BROWSERS=must $(BIN)/python -m pytest -q -n 2 tests/browser

check-code: $(VENV)/ready-dev
	@echo "Checking the code: ruff, then mypy"
	@$(BIN)/python -m ruff check builder tests
	@$(BIN)/python -m mypy

bench: $(VENV)/ready-dev
	@echo "Timing whole commands, start-up included"
	@$(BIN)/python tests/bench.py; one=$$?; $(BIN)/python tests/bench_batches.py && exit $$one

N ?= 10000
SEED ?= 1

random-jobs: $(VENV)/ready-dev
	@echo "Working $(N) random jobs of seed $(SEED)"
	@$(BIN)/python tests/random_jobs.py -n $(N) --seed $(SEED)

random-figures: N = 200
random-figures: $(VENV)/ready-dev
	@echo "Drawing every figure of $(N) random jobs of seed $(SEED)"
	@$(BIN)/python tests/random_figures.py -n $(N) --seed $(SEED)

FULL ?= 20

crash-packs: N = 200
crash-packs: $(VENV)/ready-dev
	@echo "Killing $(N) packs of seed $(SEED), and packing $(FULL) times on a full disk (takes root)"
	@$(BIN)/python tests/crash_packs.py -n $(N) --full $(FULL) --seed $(SEED)

validation: $(VENV)/ready-dev
	@echo "Running the published tests and writing VALIDATION.md"
	@$(BIN)/python tests/validation.py

gallery: $(VENV)/ready
	@echo "Drawing every figure of every demo job into out/gallery"
	@PYTHONPATH=. $(BIN)/python tests/gallery.py

language-server: $(VENV)/ready
	@echo "Trying the spec's schema with a language server for YAML"
	@npm install --silent --no-fund --no-audit --prefix out/language-server yaml-language-server@1.25.0
	@$(BIN)/python tests/language_server.py out/language-server/node_modules/.bin/yaml-language-server

# The environment: made once, made good again when a lock changes.
$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "$(PYTHON) is older than 3.11. Install Python 3.11 or newer, or: make PYTHON=python3.12 ..."; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { \
	  command -v apt-get >/dev/null || { echo "$(PYTHON) has no venv module. Install it, then try again."; exit 1; }; \
	  root=$$([ "$$(id -u)" = 0 ] || echo sudo); \
	  [ -z "$$root" ] || command -v sudo >/dev/null \
	    || { echo "$(PYTHON) has no venv module, and this user can't install it. As root: apt-get install python3-venv"; exit 1; }; \
	  echo "Installing the system's python3-venv"; \
	  $$root apt-get -qq update && DEBIAN_FRONTEND=noninteractive $$root apt-get -qq -y install python3-venv; }
	@echo "Making $(VENV)"
	@$(PYTHON) -m venv $(VENV)

$(VENV)/ready: requirements.lock pyproject.toml | $(VENV)/bin/python
	@echo "Installing what is needed into $(VENV), from requirements.lock"
	@$(INSTALL) --require-hashes -r requirements.lock
	@$(INSTALL) --no-deps --no-build-isolation --no-index -e .
	@touch $@

$(VENV)/ready-dev: requirements-dev.lock $(VENV)/ready
	@echo "Installing what tests and checks need besides, from requirements-dev.lock"
	@$(INSTALL) --require-hashes -r requirements-dev.lock
	@touch $@

# What checks built pages and is written in other languages: tests/browser/package.json names it.
.cache/checkers/ready: tests/browser/package-lock.json
	@command -v npm >/dev/null || { echo "npm is missing. Install it, or run: make test"; exit 1; }
	@echo "Installing the checkers of built pages into .cache/checkers"
	@mkdir -p .cache/checkers
	@cp tests/browser/package.json tests/browser/package-lock.json .cache/checkers/
	@npm ci --prefix .cache/checkers --ignore-scripts --no-audit --no-fund --loglevel=error
	@touch $@

UV := uv==0.13.9
LOCK := uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-header --no-emit-index-url --no-annotate pyproject.toml
FIRST := \# Every package with its hashes, for any platform and Python 3.11 or newer. Written by `make lock`.

lock: $(VENV)/bin/python
	@echo "Renewing requirements.lock and requirements-dev.lock"
	@$(INSTALL) $(UV)
	@{ echo '$(FIRST)'; $(BIN)/$(LOCK) --extra build; } > requirements.lock.new
	@{ echo '$(FIRST)'; $(BIN)/$(LOCK) --extra build --extra dev; } > requirements-dev.lock.new
	@mv requirements.lock.new requirements.lock
	@mv requirements-dev.lock.new requirements-dev.lock

clean:
	@echo "Removing out/, caches and $(VENV)"
	@rm -rf out .cache .mypy_cache .ruff_cache .pytest_cache .hypothesis build shellbed.egg-info $(VENV)
	@find . -name __pycache__ -type d -prune -exec rm -rf {} +
