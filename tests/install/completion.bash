# What bash would offer, as its programmable completion calls for it: completion.bash SCRIPT
set -u
source "$1"
failed=0
# offers "typed words" expected…: the last word is being completed; words break at ":" as readline breaks them.
offers() {
  local typed=$1 expected
  shift
  COMP_WORDS=()
  local word
  for word in $typed; do COMP_WORDS+=("$word"); done
  [[ $typed == *" " ]] && COMP_WORDS+=("")
  COMP_CWORD=$((${#COMP_WORDS[@]} - 1))
  COMPREPLY=()
  _solotaxi
  for expected in "$@"; do
    if [[ $expected == !* ]]; then
      [[ " ${COMPREPLY[*]} " != *" ${expected#!} "* ]] || { echo "\"$typed\" offers ${expected#!}"; failed=1; }
    else
      [[ " ${COMPREPLY[*]} " == *" $expected "* ]] || { echo "\"$typed\" does not offer $expected but ${COMPREPLY[*]}"; failed=1; }
    fi
  done
}
cd "$(mktemp -d)" && touch field.osm "a field.osm" || exit 1
offers "solotaxi " check route plan preview estimate screen --help --version
offers "solotaxi pl" plan !check
offers "solotaxi plan " field.osm
offers "solotaxi plan field.osm --que" --queue --queue-moves !--out
offers "solotaxi check field.osm --que" !--queue
offers "solotaxi route field.osm --objective " distance time fuel !field.osm
offers "solotaxi route field.osm --surface w" wet !dry
offers "solotaxi plan field.osm --from st" stand: !runway:
offers "solotaxi plan field.osm --aircraft narrow" narrow-body-twin
offers "solotaxi plan field.osm --dem fi" field.osm
offers "solotaxi check field.osm --code-letter " A F
[[ $(complete -p solotaxi) == *"-F _solotaxi solotaxi" ]] || { echo "not set up for solotaxi"; failed=1; }
exit $failed
