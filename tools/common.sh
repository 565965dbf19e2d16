# Shared by tools/demo, tools/check and tools/bench: what a Debian 12 machine needs, and how it is configured. To be sourced.
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
cd "$root"

packages="g++ cmake ninja-build ccache pkg-config python3 python3-jsonschema libboost-graph-dev libgdal-dev gdal-bin libgeos-dev
  libgeographiclib-dev geographiclib-tools libosmium2-dev libexpat1-dev libbz2-dev zlib1g-dev libeigen3-dev libcli11-dev libfmt-dev
  nlohmann-json3-dev libtomlplusplus-dev libtbb-dev catch2 librapidcheck-dev python3-dev pybind11-dev python3-numpy mandoc dpkg-dev"

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

# What the tests of the page in a browser need: chromium, node and npm (Debian's, where there are no others), and
# playwright-core as its lock file pins it, in a build's folder "page".
install_browser() {
  local browser="chromium" folder=$1/page
  command -v node >/dev/null && command -v npm >/dev/null || browser="$browser nodejs npm"
  # shellcheck disable=SC2086
  install_packages $browser
  mkdir -p "$folder"
  cmp -s tests/page/package-lock.json "$folder/node_modules/.installed" && return 0
  cp tests/page/package.json tests/page/package-lock.json "$folder"
  (cd "$folder" && PLAYWRIGHT_SKIP_BROWSER_DOWNLOAD=1 npm ci --no-audit --no-fund --ignore-scripts --loglevel=error)
  cp tests/page/package-lock.json "$folder/node_modules/.installed"
}

# Sources of a module compiled a dozen at a time: a third of the time of each alone, and the same code.
together="-DCMAKE_UNITY_BUILD=ON -DCMAKE_UNITY_BUILD_BATCH_SIZE=14"

# configure_build DIR [cmake options]; Python is Debian's, as its packages are for it
configure_build() {
  local dir=$1
  shift
  cmake -S . -B "$dir" -G Ninja -DPython3_EXECUTABLE=/usr/bin/python3 "$@" >"$dir.log" 2>&1 || { cat "$dir.log" >&2; return 1; }
}

mkdir -p build
