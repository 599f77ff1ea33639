#!/bin/sh
# gofmt, go vet, go mod tidy, staticcheck: each must have nothing to say. The vector kernel is code of another build (GOEXPERIMENT=simd); a test of package
# travel runs it.
set -eu
bad=$(gofmt -l $(git ls-files '*.go'))
if [ -n "$bad" ]; then
	echo "gofmt would change:"
	echo "$bad"
	exit 1
fi
go vet ./...
go mod tidy -diff
go tool -modfile=tools/go.mod staticcheck ./...
if [ "$(go env GOARCH)" = amd64 ]; then
	GOEXPERIMENT=simd go vet ./travel
	GOEXPERIMENT=simd go tool -modfile=tools/go.mod staticcheck ./travel
fi
