# Tarsus. `make` lists the commands.
PORT ?= 8000
BIN := .venv/bin
CORES := --numprocesses auto --maxprocesses 8 --dist worksteal
.DEFAULT_GOAL := help
.PHONY: help setup setup-tests demo test check format wheel lock bench figures coverage mutation test-js test-core-alone test-py test-postgresql parts weaknesses screens

help: ## list the commands
	@awk -F':.*## ' '/^[a-z-]+:.*## /{printf "  make %-16s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

setup: ## make .venv and install Tarsus into it (leaves .venv/bin/tarsus)
	@scripts/setup.sh run

demo: setup ## set up, load the invented park and serve it (PORT=8000)
	@$(BIN)/tarsus demo --port $(PORT)

setup-tests:
	@scripts/setup.sh test

test: setup-tests test-js test-core-alone test-postgresql test-py ## set up and run every test, browser tests included

test-js:
	node --test tests/js/

# The core without Django, and nowhere else.
test-core-alone:
	PYTHONPATH=scripts/without_django PYTEST_DISABLE_PLUGIN_AUTOLOAD=1 $(BIN)/pytest tests/unit -p pytest_randomly -p xdist $(CORES) \
		-W ignore::pytest.PytestConfigWarning

# What is timed by the processor runs alone: a core that is shared has a cold cache.
test-py:
	scripts/tests_twice.sh -m "not postgresql" --ignore tests/unit --ignore tests/browser/test_taps.py $(CORES)
	scripts/tests_twice.sh tests/browser/test_taps.py

# Whatever asks the register but the browser's stories, which ask it through the same pages; that nothing is
# asked of a network is no question of the database.
test-postgresql:
	scripts/with_postgres.sh $(BIN)/pytest --register -m "not browser" --ignore tests/web/test_no_network.py $(CORES)

coverage: setup-tests ## say what of core, actions, queries and web the tests without a browser reach; fails below its floor
	rm -rf .coverage && mkdir .coverage
	$(BIN)/coverage run -m pytest -m "not postgresql and not browser" $(CORES)
	$(BIN)/coverage combine -q
	$(BIN)/coverage report

check: setup-tests ## format, lint, types, import layers, habits
	$(BIN)/ruff format --check src tests benchmarks scripts drills examples
	$(BIN)/ruff check src tests benchmarks scripts drills examples
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache
	scripts/format.sh check
	for what in tsconfig tsconfig.shared tsconfig.worker; do node_modules/.bin/tsc --project $$what.json || exit 1; done
	$(BIN)/pytest tests/habits

format: setup-tests ## put every file into its format (PART=static: of the pages, only those)
	$(BIN)/ruff format src tests benchmarks scripts drills examples
	$(BIN)/ruff check --fix src tests benchmarks scripts drills examples
	scripts/format.sh write $(PART)

bench: setup-tests ## print one table: each job, now, beside a peer or limit of the same run, and the aim (KEEP=1 keeps it)
	@$(BIN)/python benchmarks/bench.py $(if $(KEEP),--keep)

figures: setup-tests ## run every program in benchmarks/ by itself: the figures of docs/science, some hours
	@for b in $(filter-out %/bench.py %/measured.py,$(wildcard benchmarks/*.py)); do echo "== $$b"; $(BIN)/python $$b || exit 1; done

mutation: setup-tests ## break core and actions on purpose and say how many the tests notice (MODULE=core/… SEED=…)
	$(BIN)/python scripts/mutation.py $(if $(SEED),--seed $(SEED)) $(MODULE)

screens: setup-tests ## take every page at two widths, light and dark, long names, empty, offline, 200 birds (STATE=…)
	$(BIN)/pytest -p no:randomly tests/browser/screens.py $(if $(STATE),-k $(STATE))
	@echo "Look at $(or $(SCREENS),var/screens)/index.html"

wheel: setup ## build the wheel into dist/
	$(BIN)/python -m pip wheel -q --disable-pip-version-check --no-deps --no-build-isolation -w dist .

parts: ## write the list of what Tarsus is made of (CycloneDX), checked against its schema
	@scripts/audit.sh parts

weaknesses: ## ask what is known against the locked packages (needs a network; docs/running/supply.md for without)
	@scripts/audit.sh weaknesses

lock: setup ## write the lock files anew
	@scripts/lock.sh
