#!/bin/sh
# The main job on the example: what check finds on the conversion, then the workbench on it. Ctrl-C ends it.
# The demo's workshop is a folder of its own, so that trying things out touches nothing of the builder's.
set -eu
go build -o bin/lowslung ./cmd/lowslung
bin/lowslung check examples/bramble-portal.rig.yaml || test $? -eq 1
echo
exec bin/lowslung serve --workshop "${LOWSLUNG_WORKSHOP:-bin/workshop}" --rig bramble-portal.rig.yaml
