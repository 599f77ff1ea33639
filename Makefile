# lowslung: `make run` and `make test` set up everything they need.
.PHONY: run test bench web check setup fmt lint go page fuzz docs pictures

run: ## open the workbench on the example, and print what check finds on the conversion (needs Go alone)
	@sh scripts/run.sh

test: setup lint go page ## install what is missing, then run everything: lint, Go, reference checks, page, browser

setup: ## Debian packages and npm modules that the tests need
	sh scripts/setup.sh

lint: ## gofmt, go vet, staticcheck
	sh scripts/lint.sh

go: ## Go tests, reference checks included
	go test -count=1 ./...

page: ## types, lint, unit tests, a fresh build that must equal the committed one, browser tests
	sh scripts/page.sh

bench: ## pose time, allocations, grids, whole processes, and the ratios to SciPy and to C, side by side
	go run ./reference/report

fuzz: ## each fuzz target for a while: make fuzz TIME=60s
	sh scripts/fuzz.sh $(TIME)

web: ## build the page into web/dist
	cd web && npm ci --no-audit --no-fund && npm run build

docs: ## rewrite the part of the manual that is made from the code
	go run ./cmd/lowslung manual docs/reference

check: ## the main job on the command line
	go run ./cmd/lowslung check examples/bramble-portal.rig.yaml || test $$? -eq 1
