# Shared by tools/demo, tools/check and tools/bench: what a Debian 12 machine needs, and how it is configured. To be sourced.
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
cd "$root"

packages="g++ cmake ninja-build ccache pkg-config python3 python3-jsonschema libboost-graph-dev libgdal-dev gdal-bin libgeos-dev
  libgeographiclib-dev geographiclib-tools libosmium2-dev libexpat1-dev libbz2-dev zlib1g-dev libeigen3-dev libcli11-dev libfmt-dev
  nlohmann-json3-dev libtomlplusplus-dev catch2 librapidcheck-dev"

# Installs what is missing of the packages above and any named; quick when nothing is.
install_packages() {
  local missing="" p
  for p in $packages "$@"; do
    dpkg-query -W -f='${Status}' "$p" 2>/dev/null | grep -q 'install ok installed' || missing="$missing $p"
  done
  [ -n "$missing" ] || return 0
  local as_root=""
  [ "$(id -u)" = 0 ] || as_root=sudo
  echo "installing:$missing"
  $as_root apt-get update -qq
  # shellcheck disable=SC2086
  $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing >/dev/null
}

# configure_build DIR [cmake options]
configure_build() {
  local dir=$1
  shift
  cmake -S . -B "$dir" -G Ninja "$@" >"$dir.log" 2>&1 || { cat "$dir.log" >&2; return 1; }
}

mkdir -p build
