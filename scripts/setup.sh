#!/bin/sh
# Installs what the tests need and the machine lacks: SciPy, FCL, MuJoCo, readers of 3MF, STL, PDF and DXF and compilers for the reference checks; PostgreSQL for
# shared searches; a browser for the page.
set -eu
missing=""
need() { # command or file that shows it is there, Debian package that brings it
	if ! command -v "$1" >/dev/null 2>&1 && [ ! -e "$1" ]; then missing="$missing $2"; fi
}
need /usr/lib/python3/dist-packages/scipy python3-scipy
need /usr/lib/python3/dist-packages/numpy python3-numpy
need /usr/bin/chromium chromium
need make make
need gcc gcc
need g++ g++
need /usr/include/fcl libfcl-dev
need /usr/include/eigen3 libeigen3-dev
need /usr/include/ccd libccd-dev
need /usr/include/lib3mf lib3mf-dev
need pdftocairo poppler-utils
need /usr/lib/python3/dist-packages/ezdxf python3-ezdxf
# PostgreSQL for the searches that several machines share. Debian has its programs out of the path; the tests find them there.
found=""
for file in /usr/lib/postgresql/*/bin/initdb; do
	if [ -e "$file" ]; then found="$file"; fi
done
if [ -z "$found" ]; then need initdb postgresql; fi
if [ -n "$missing" ]; then
	if ! command -v apt-get >/dev/null 2>&1; then
		echo "these Debian packages are needed and apt-get is not here to install them:$missing" >&2
		exit 1
	fi
	as_root=""
	if [ "$(id -u)" != 0 ]; then as_root="sudo"; fi
	export DEBIAN_FRONTEND=noninteractive
	$as_root apt-get update -qq
	case "$missing" in
	*" postgresql"*) # the tests run servers of their own: the package must neither make one nor begin it
		$as_root apt-get install -y -qq --no-install-recommends postgresql-common </dev/null
		$as_root sed -i 's/^#* *create_main_cluster.*/create_main_cluster = false/' /etc/postgresql-common/createcluster.conf
		;;
	esac
	# shellcheck disable=SC2086
	$as_root apt-get install -y -qq --no-install-recommends $missing </dev/null
fi
if ! command -v node >/dev/null 2>&1; then
	echo "Node 20 is needed for the page's tests and was not found" >&2
	exit 1
fi
for dir in mujoco three; do
	cd "$(dirname "$0")/../reference/$dir"
	if [ ! node_modules/.package-lock.json -nt package-lock.json ]; then # npm writes it last
		npm ci --no-audit --no-fund </dev/null
	fi
	cd - >/dev/null
done
