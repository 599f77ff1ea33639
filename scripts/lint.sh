#!/bin/sh
# gofmt, go vet, staticcheck: each must have nothing to say.
set -eu
bad=$(gofmt -l $(git ls-files '*.go'))
if [ -n "$bad" ]; then
	echo "gofmt would change:"
	echo "$bad"
	exit 1
fi
go vet ./...
go tool -modfile=tools/go.mod staticcheck ./...
