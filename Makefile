# Two commands do everything: make demo, make test. make help lists the rest.
SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help

TOOL := go tool -modfile=tools/go.mod
WEB_SOURCES := $(shell find web/src web/static -type f 2>/dev/null)
GO_SOURCES := $(shell find . -name '*.go' -not -path './node_modules/*' -not -path './web/node_modules/*')

.PHONY: help demo build web test test-go test-browser check generate fmt bench fuzz clean

help: ## list the commands
	@grep -hE '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 16

demo: build ## run the season's main job on an invented district, in a browser
	@bin/culm demo

build: bin/culm ## build bin/culm with the browser code in it

bin/culm: web/dist/built $(GO_SOURCES) go.mod go.sum
	@echo "building culm (the first time takes a few minutes: it compiles the database)"
	@CGO_ENABLED=0 go build -trimpath -o $@ ./cmd/culm

web: web/dist/built ## bundle the browser code

web/node_modules/installed: web/package.json web/package-lock.json
	@echo "installing the browser code's packages"
	@cd web && npm ci --ignore-scripts --no-audit --no-fund --loglevel=error
	@touch $@

web/dist/built: web/node_modules/installed web/build.mjs web/tsconfig.json $(WEB_SOURCES)
	@cd web && node build.mjs
	@touch $@

test: ## install what the tests need, then run all of them
	@scripts/install-test-packages
	@$(MAKE) --no-print-directory build check test-go test-browser

test-go: web/dist/built ## run the tests in Go
	@go test ./...

test-browser: build ## drive the pages in a real browser
	@cd web && npx playwright test

check: web/node_modules/installed ## format, vet, lint, import direction, purity, generated files
	@scripts/check

generate: ## write the pages' generated Go anew
	@$(TOOL) templ generate -path server

fmt: ## format the code
	@$(TOOL) gofumpt -w $$(git ls-files '*.go' ':!*_templ.go')

bench: ## run all benchmarks
	@go test -run '^$$' -bench . -benchmem ./...

fuzz: ## fuzz each parser for a short while
	@scripts/fuzz

clean: ## remove what was built
	@rm -rf bin web/dist/* web/node_modules web/test-results
