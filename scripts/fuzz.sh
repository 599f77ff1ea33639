#!/bin/sh
# Runs every native fuzz target for the time given, one after the other.
set -eu
time=${1:-30s}
go list ./... | while read -r pkg; do
	dir=$(go list -f '{{.Dir}}' "$pkg")
	for target in $(grep -ho '^func Fuzz[A-Za-z0-9_]*' "$dir"/*_test.go 2>/dev/null | sed 's/^func //'); do
		echo "== $pkg $target $time"
		go test "$pkg" -run '^$' -fuzz "^$target\$" -fuzztime "$time"
	done
done
