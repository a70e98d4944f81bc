#!/usr/bin/env bash
# Installs the package on a Debian of its own, uses it as an ordinary user, upgrades it, removes it, and looks at what is left.
#   tests/install/clean_root.sh BUILD [SUITE [ROOT]]
# BUILD: a build folder in which the program is built for that Debian; SUITE: bookworm; ROOT: a root that debootstrap made before
# (it is copied), else one is made. As root; takes some minutes, loads some hundred megabytes. Exit code 1 at the first thing that is not right.
set -euo pipefail

build=$(realpath "${1:?"a build folder is missing; BUILD, as build, would be right"}")
suite=${2:-bookworm}
made=${3:-}
[ "$(id -u)" -eq 0 ] || { echo "clean_root.sh: root is needed for a root of its own" >&2; exit 1; }
command -v debootstrap >/dev/null || { echo "clean_root.sh: debootstrap is missing; apt-get install debootstrap would be right" >&2; exit 1; }

work=$(mktemp -d /var/tmp/hushmill-clean-root.XXXXXX)
root=$work/root
leave() {
  mountpoint -q "$root/proc" && umount "$root/proc"
  rm -rf --one-file-system "$work"
}
trap leave EXIT

say() { printf '\n== %s\n' "$*"; }
wrong() { echo "NOT RIGHT: $*" >&2; exit 1; }
inside() { chroot "$root" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive "$@"; }
# As the ordinary user, in her home.
turner() { inside su - turner -c "$*"; }
# Names and sums of all that is the user's own.
own_files() { (cd "$root/home/turner" && find . -type f ! -name '.bash*' ! -name .profile -print0 | sort -z | xargs -0 sha256sum); }
# All files with the program's name outside the user's home and apt's own memory.
left() { find "$root" -xdev -iname '*hushmill*' ! -path "$root/home/*" ! -path "$root/var/lib/apt/*" ! -path "$root/var/log/*" ! -path "$root/packages*" | sort; }

say "two packages: this version and a higher one"
version=$(sed -n 's/^set(CPACK_PACKAGE_VERSION "\(.*\)")$/\1/p' "$build/CPackConfig.cmake")
for each in "$version" "$version.1"; do
  cpack --config "$build/CPackConfig.cmake" -G DEB -R "$each" -B "$work/packages" >"$work/cpack.log" 2>&1 || { cat "$work/cpack.log"; wrong "cpack"; }
done
first=$(ls "$work/packages"/hushmill_"$version"_*.deb)
next=$(ls "$work/packages"/hushmill_"$version.1"_*.deb)
dpkg-deb --info "$first"
dpkg-deb --contents "$first"

say "a clean $suite"
if [ -n "$made" ]; then cp -a "$made" "$root"; else debootstrap --variant=minbase "$suite" "$root" >"$work/debootstrap.log" || { tail "$work/debootstrap.log"; wrong "debootstrap"; }; fi
mount -t proc proc "$root/proc"
mkdir "$root/packages"
cp "$first" "$next" "$root/packages/"
inside apt-get update -qq
inside useradd --create-home --shell /bin/bash turner
inside dpkg-query -W -f '${Package}\n' | sort >"$work/before"

say "install, dependencies from $suite"
inside apt-get install -y -qq --no-install-recommends "/packages/${first##*/}" >"$work/install.log" 2>&1 || { tail -20 "$work/install.log"; wrong "the package cannot be installed"; }
inside dpkg-query -W -f '${Package}\n' | sort | comm -13 "$work/before" - | tr '\n' ' '; echo
inside dpkg --verify hushmill
inside dpkg -L hushmill >"$work/listed"
linked=$(inside ldd /usr/bin/hushmill)
if grep 'not found' <<<"$linked"; then wrong "a library is missing"; fi

say "used by an ordinary user"
turner hushmill --version
turner 'hushmill --source rig </dev/null' | tail -3  # no display: twenty seconds in the terminal
turner 'hushmill watch --source rig --for-s 6 --record flac --job bracket </dev/null' | tail -3
turner hushmill journal list
turner 'hushmill rig --setup config/fin-wall.toml --for-s 1 --out fin.wav'
turner 'hushmill review /usr/share/hushmill-examples/recordings/bracket-chatter.flac --rpm 6800 --flutes 4' | head -4
turner 'hushmill report --session 1 --out cut.pdf && head -c 5 cut.pdf'; echo

say "the window, on a display without a screen"
inside apt-get install -y -qq --no-install-recommends xvfb xauth >"$work/xvfb.log" 2>&1 || { tail "$work/xvfb.log"; wrong "xvfb cannot be installed"; }
turner 'xvfb-run -a hushmill --source rig --for-s 4 --cuts config' | tail -3
turner 'xvfb-run -a hushmill --source rig --screenshot screen.png --screenshot-after-s 3' | tail -3
[ -s "$root/home/turner/screen.png" ] || wrong "no picture of the window"
[ -s "$root/home/turner/.local/state/hushmill/last_time.toml" ] || wrong "the window was not remembered"
mkdir -p "$root/home/turner/.config/hushmill/cuts"
printf 'title = "Bracket"\n' >"$root/home/turner/.config/hushmill/cuts/bracket.toml"
chroot "$root" chown -R turner: /home/turner/.config
turner hushmill journal list | tee "$work/list"
own_files >"$work/own"
grep -q 'journal\.sqlite' "$work/own" || wrong "no journal was kept"
grep -q 'recordings/' "$work/own" || wrong "no recording was kept"
wc -l <"$work/own"

say "upgrade"
inside apt-get install -y -qq --no-install-recommends "/packages/${next##*/}" >"$work/upgrade.log" 2>&1 || { tail "$work/upgrade.log"; wrong "the upgrade"; }
[ "$(inside dpkg-query -W -f '${Version}' hushmill)" = "$version.1" ] || wrong "the version is not the higher one"
own_files | diff "$work/own" - || wrong "the upgrade changed the user's own files"
turner hushmill journal list | diff "$work/list" - || wrong "the journal reads otherwise after the upgrade"
turner 'hushmill watch --source rig --for-s 2 --job afterwards </dev/null' >/dev/null
turner hushmill journal list >"$work/longer"
grep -q afterwards "$work/longer" && grep -q bracket "$work/longer" || wrong "the journal did not go on after the upgrade"
own_files >"$work/own"
echo "kept, and the journal goes on"

say "removal and purge"
inside apt-get remove -y -qq hushmill >"$work/remove.log" 2>&1 || { tail "$work/remove.log"; wrong "the removal"; }
own_files | diff "$work/own" - || wrong "the removal changed the user's own files"
inside dpkg --purge hushmill 2>&1  # apt does not know what came from a file once it is gone
own_files | diff "$work/own" - || wrong "the purge changed the user's own files"
inside apt-get autoremove -y -qq >/dev/null 2>&1
while read -r file; do
  if [ -f "$root$file" ] || [ -L "$root$file" ]; then wrong "$file is still there"; fi
done <"$work/listed"
[ -z "$(left)" ] || { left; wrong "something of the name is left"; }
echo "nothing of the package is left; the user has all of $(wc -l <"$work/own") files"
