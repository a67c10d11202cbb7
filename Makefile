# The chores. Each works on a machine with Python 3.11 or later, make, git and the package registry, and nothing else.

SHELL := /bin/sh
.DEFAULT_GOAL := help
.DELETE_ON_ERROR:
.PHONY: help run test test-crash test-frontend test-browser check check-format check-lint check-types check-frontend
.PHONY: check-imports check-dependencies check-validation check-proof format validation prove docs pictures smoke soak crash bench
.PHONY: lock clean chromium

PYTHON ?= $(shell command -v python3.11 || command -v python3)
BIN := .venv/bin
INSTALL := $(BIN)/python -m pip install --quiet --quiet --disable-pip-version-check --no-deps
LOCKED := $(INSTALL) --require-hashes --only-binary :all:
WORKERS ?= 2
# Chores two at a time, where neither needs the machine for itself; what one says is shown when it has ended.
BESIDE = $(MAKE) --no-print-directory --jobs 2 --output-sync
# The longest first.
CHECKS := check-types docs check-frontend check-validation check-proof check-dependencies check-imports check-format check-lint
PORT ?= 8137

# Script, style and type of the pages, built by the Node that the environment brings.
NODE := PATH="$(CURDIR)/$(BIN):$$PATH"
ASSETS := src/borewright/web/static/app.js

help:
	@echo 'make run             serve the demo on this machine: five bores, and simulated machines to rehearse them on'
	@echo 'make test            every check and every test'
	@echo 'make test-frontend   the tests of the script of the pages alone'
	@echo 'make test-crash      kill a writer a hundred times alone, as make test does'
	@echo 'make test-browser    the tests of the pages in a real browser alone'
	@echo 'make check           format, lint, types, imports, dependencies, docs; with -k all of them whatever fails'
	@echo 'make format          put the format right, and what lint can mend'
	@echo 'make validation      write docs/validation.md from the published checks'
	@echo 'make prove N=       the proof: N rehearsed bores of each kind by every policy, stated odds, samplers'
	@echo 'make docs            build the docs into docs/_build/html'
	@echo 'make pictures        photograph every page, by day and by night; the ones for the docs go to docs/pictures'
	@echo 'make chromium        find the browser for the tests, or install it where that is allowed'
	@echo 'make smoke           clone, make run, size a bore over HTTP, kill the server in mid-pass, go on, release'
	@echo 'make soak            fifty clients, a reading every two seconds each, for a minute'
	@echo 'make crash N=        kill a writer N times and look for what was lost or doubled'
	@echo 'make bench           measure speed, alone on the machine'
	@echo 'make lock            resolve the lock files again'
	@echo 'make clean           remove what was made, the environment too'

run: .venv/run.stamp $(ASSETS)
	@exec $(BIN)/borewright serve --demo --port $(PORT)

test: chromium
	@$(BESIDE) .venv/dev.stamp .venv/wheels.stamp $(ASSETS)
	@$(BESIDE) $(CHECKS) test-frontend
	$(BIN)/pytest -n $(WORKERS) -p no:benchmark --ignore tests/crash
	@$(BESIDE) smoke test-crash

test-crash: .venv/dev.stamp
	$(BIN)/pytest -p no:benchmark tests/crash --kills 100

test-frontend: .venv/node-dev.stamp
	cd frontend && $(NODE) npm --silent test

test-browser: .venv/dev.stamp .venv/node-dev.stamp $(ASSETS) chromium
	$(BIN)/pytest -p no:benchmark tests/browser

check: .venv/dev.stamp .venv/node-dev.stamp
	@$(BESIDE) $(CHECKS)

check-format: .venv/dev.stamp
	$(BIN)/ruff format --check

check-lint: .venv/dev.stamp
	$(BIN)/ruff check

check-types: .venv/dev.stamp
	$(BIN)/mypy

# The lock of the front end names no address: whoever installs it asks the registry that they have.
check-frontend: .venv/node-dev.stamp
	@! grep -nE '"resolved"|https?://[^"]*registry' frontend/package-lock.json
	cd frontend && $(NODE) npm --silent run check

check-imports: .venv/dev.stamp
	$(BIN)/lint-imports --no-cache

check-dependencies: .venv/dev.stamp
	$(BIN)/deptry src

check-validation: .venv/dev.stamp
	$(BIN)/python -m tests.published.page --check

check-proof: .venv/dev.stamp
	$(BIN)/python -m tests.prove.page --check

format: .venv/dev.stamp .venv/node-dev.stamp
	$(BIN)/ruff format
	$(BIN)/ruff check --fix
	cd frontend && $(NODE) npm --silent run format

validation: .venv/dev.stamp
	$(BIN)/python -m tests.published.page

# Two hours on two cores at 3,000 bores of each kind, the size at which the bars are meant.
prove: .venv/dev.stamp
	$(BIN)/python -m tests.prove --workers $(WORKERS) --bores $(or $(N),3000)

# The pages must show on a machine without a network: nothing a page loads may come from elsewhere.
docs: .venv/dev.stamp
	$(BIN)/sphinx-build --quiet --fail-on-warning --keep-going -b html docs docs/_build/html
	@! grep -rlE --include='*.html' '<(script|img|link|iframe)[^>]+(src|href)="([a-z]+:)?//' docs/_build/html

pictures: .venv/dev.stamp .venv/node-dev.stamp $(ASSETS) chromium
	$(BIN)/python -m tests.browser.pictures
	$(BIN)/python -m tests.browser.tour

chromium:
	@test -n "$$CHROMIUM" || command -v chromium > /dev/null \
	  || { test "$$(id -u)" = 0 && apt-get update -qq && apt-get install -y -qq --no-install-recommends chromium; } \
	  || { echo 'The pages are tested in a real browser: install chromium, or say CHROMIUM=/path/to/it.' >&2; exit 2; }

crash: .venv/dev.stamp
	$(BIN)/python -m tests.crash --kills $(or $(N),1000) $(if $(MUTANT),--mutant $(MUTANT))

smoke: .venv/dev.stamp .venv/wheels.stamp
	$(BIN)/python -m tests.smoke

soak: .venv/dev.stamp $(ASSETS)
	$(BIN)/python -m tests.soak

bench: .venv/dev.stamp $(ASSETS)
	$(BIN)/pytest -p no:xdist tests/bench -o python_files='bench_*.py' -o python_functions='bench_*' --benchmark-only --benchmark-sort=mean --benchmark-columns=min,mean,stddev,rounds
	$(BIN)/python -m tests.bench.sizing
	$(BIN)/python -m tests.bench.pages

lock: .venv/lock.stamp
	for set in run dev reference; do \
	  $(BIN)/uv pip compile --quiet --universal --python-version 3.11 --generate-hashes --no-annotate --no-header \
	    requirements/$$set.in -o requirements/$$set.txt || exit 1; \
	done

clean:
	rm -rf .venv docs/_build frontend/node_modules src/borewright/web/static .mypy_cache .ruff_cache .pytest_cache .hypothesis .benchmarks
	find src tests -name __pycache__ -type d -prune -exec rm -rf {} +

.venv/made.stamp:
	@test -n '$(PYTHON)' || { echo 'Install Python 3.11 or later.' >&2; exit 2; }
	@'$(PYTHON)' -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo '$(PYTHON) is too old: install Python 3.11 or later, or say PYTHON=/path/to/it.' >&2; exit 2; }
	'$(PYTHON)' -m venv .venv
	@touch $@

.venv/run.stamp: .venv/made.stamp requirements/run.txt pyproject.toml
	@echo 'Installing what Borewright needs; the first time takes about a minute.'
	$(LOCKED) -r requirements/run.txt
	$(INSTALL) --no-build-isolation --no-index -e .
	@touch $@

.venv/dev.stamp: .venv/run.stamp requirements/dev.txt requirements/reference.txt
	@echo 'Installing what the checks and tests need; the first time takes about a minute.'
	$(LOCKED) -r requirements/dev.txt -r requirements/reference.txt
	$(BIN)/python -m pip check
	@touch $@

# The smoke test makes an environment of its own; what it installs is downloaded once.
.venv/wheels.stamp: .venv/run.stamp
	rm -rf .venv/wheels
	$(BIN)/python -m pip download --quiet --quiet --disable-pip-version-check --no-deps --require-hashes \
	  --only-binary :all: --dest .venv/wheels -r requirements/run.txt
	@touch $@

.venv/node.stamp: .venv/run.stamp frontend/package-lock.json frontend/.npmrc
	@echo 'Installing what the pages are built with.'
	cd frontend && $(NODE) npm --silent ci --ignore-scripts --omit=dev
	@touch $@

.venv/node-dev.stamp: .venv/node.stamp
	cd frontend && $(NODE) npm --silent ci --ignore-scripts
	@touch $@

$(ASSETS): .venv/node.stamp frontend/build.ts $(wildcard frontend/src/*.ts frontend/css/*.css)
	cd frontend && $(NODE) node build.ts

.venv/lock.stamp: .venv/made.stamp
	$(BIN)/python -m pip install --quiet uv
	@touch $@
