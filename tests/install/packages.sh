# packages.sh CMAKE BUILD SCRATCH: makes the packages, installs, runs and removes them: in a fresh root where mmdebstrap is installed and
# can make one (2 min), else on this machine; without root, or where one of them is installed already, they are unpacked and run.
set -euo pipefail
cmake=$1 build=$2 scratch=$3
names="solotaxi libsolotaxi-dev python3-solotaxi"
rm -rf "$scratch"
mkdir -p "$scratch"
"$(dirname "$cmake")/cpack" --config "$build/CPackConfig.cmake" -G DEB -B "$scratch" >"$scratch/log" 2>&1 || { cat "$scratch/log"; exit 1; }
shopt -s nullglob
packages=("$scratch"/*.deb)
echo "made: ${packages[*]##*/}"
for name in solotaxi libsolotaxi-dev; do
  ls "$scratch/${name}"_*.deb >/dev/null || { echo "no package $name"; exit 1; }
done

# Fields and contents.
dpkg-deb --field "$scratch"/solotaxi_*.deb Depends | grep -q libgdal || { echo "solotaxi does not depend on libgdal"; exit 1; }
contents=$(dpkg-deb --contents "$scratch"/solotaxi_*.deb)
for file in ./usr/bin/solotaxi ./usr/share/man/man1/solotaxi.1 ./usr/share/man/man1/solotaxi-plan.1 \
  ./usr/share/bash-completion/completions/solotaxi ./usr/share/doc/solotaxi/copyright \
  ./usr/share/solotaxi/LICENSE ./usr/share/solotaxi/aircraft/narrow-body-twin.toml ./usr/share/solotaxi/schema/plan.schema.json \
  ./usr/share/solotaxi/demo/field.geojson; do
  grep -q "$file" <<<"$contents" || { echo "solotaxi lacks $file"; exit 1; }
done

run_all() {  # run_all ROOT
  local root=$1 demo=$1/usr/share/solotaxi/demo
  (
    cd "$scratch"
    "$root/usr/bin/solotaxi" --version | grep -q "^solotaxi [0-9]"
    "$root/usr/bin/solotaxi" plan "$demo/field.geojson" --dem "$demo/elevation.tif" --from stand:12 --to runway:09 |
      grep -q "not for navigation"
    if [ -n "$(echo "$scratch"/python3-solotaxi_*.deb)" ]; then
      PYTHONPATH=$root/usr/lib/python3/dist-packages /usr/bin/python3 -c \
        "import solotaxi; print(solotaxi.load('$demo/field.geojson').check()['counts'])"
    fi
  )
}

fresh=$scratch/fresh
if [ "$(id -u)" = 0 ] && command -v mmdebstrap >/dev/null && mmdebstrap --variant=apt --mode=root bookworm "$fresh" >>"$scratch/log" 2>&1; then
  trap 'rm -rf "$fresh"' EXIT
  cp "${packages[@]}" "$fresh/srv"
  cp /etc/resolv.conf "$fresh/etc"
  chroot "$fresh" sh -euc '
    export DEBIAN_FRONTEND=noninteractive
    cd /srv
    apt-get update -qq
    apt-get install -y -qq --no-install-recommends ./solotaxi_*.deb $(ls ./python3-solotaxi_*.deb 2>/dev/null) >/dev/null 2>&1
    cd /usr/share/solotaxi/demo
    solotaxi --version | grep -q "^solotaxi [0-9]"
    solotaxi plan field.geojson --dem elevation.tif --from stand:12 --to runway:09 | grep -q "not for navigation"
    [ ! -e /usr/bin/python3 ] || python3 -c "import solotaxi; print(solotaxi.load(\"field.geojson\").check()[\"counts\"])"
    cd / && apt-get purge -y -qq solotaxi python3-solotaxi >/dev/null 2>&1
    for left in /usr/bin/solotaxi /usr/share/solotaxi; do [ ! -e $left ] || { echo "left behind: $left"; exit 1; }; done'
  echo "installed, ran and gone in a fresh root"
  exit 0
fi

as_root=()
if [ "$(id -u)" != 0 ]; then
  sudo -n true 2>/dev/null && as_root=(sudo -n) || { mkdir "$scratch/root"; }
fi
for name in $names; do
  if dpkg-query -W -f='${Status}' "$name" 2>/dev/null | grep -q "install ok"; then
    echo "$name is installed here already and is not touched; the packages are unpacked instead"
    mkdir -p "$scratch/root"
  fi
done
if [ -d "$scratch/root" ]; then
  for package in "${packages[@]}"; do dpkg-deb --extract "$package" "$scratch/root"; done
  run_all "$scratch/root"
  echo "ran from a folder"
  exit 0
fi

remove() { "${as_root[@]}" dpkg --purge $names >>"$scratch/log" 2>&1; }
trap remove EXIT
"${as_root[@]}" dpkg --install "${packages[@]}" >>"$scratch/log" 2>&1 || { cat "$scratch/log"; exit 1; }
run_all ""
remove
trap - EXIT
for left in /usr/bin/solotaxi /usr/share/solotaxi /usr/include/solotaxi /usr/share/man/man1/solotaxi.1 /usr/share/doc/solotaxi; do
  [ ! -e "$left" ] || { echo "left behind: $left"; exit 1; }
done
echo "installed, ran and gone"
