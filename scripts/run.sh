#!/bin/sh
# The main job on the example: what check finds on the conversion, then the workbench on it.
set -eu
go build -o bin/lowslung ./cmd/lowslung
bin/lowslung check examples/bramble-portal.rig.yaml || test $? -eq 1
