#!/usr/bin/env bash
# Installs the system packages that Hushmill is built from. Debian 12 and 13, Ubuntu 24.04: apt.
# Elsewhere it prints what to install. Uses sudo when not root. Exit code 1 when a package cannot be had.
set -euo pipefail

tools=(ca-certificates cmake dpkg-dev file g++ make ninja-build pkg-config)
libraries=(portaudio19-dev libkissfft-dev libimgui-dev libglfw3-dev libgl-dev libspdlog-dev libfmt-dev libsndfile1-dev
  libcli11-dev nlohmann-json3-dev libtomlplusplus-dev libeigen3-dev libboost-dev libcairo2-dev
  libpango1.0-dev libsqlite3-dev
  libpng-dev fonts-b612)
tests=(catch2 desktop-file-utils groff-base libfftw3-dev xvfb xauth xdotool libgl1-mesa-dri pulseaudio pulseaudio-utils libasound2-plugins)
packages=("${tools[@]}" "${libraries[@]}" "${tests[@]}")

if ! command -v apt-get >/dev/null 2>&1; then
  cat >&2 <<TEXT
This system has no apt-get. Install these by its own package manager, then configure with CMake:
  a C++20 compiler, CMake 3.22 or newer, Ninja, pkg-config
  PortAudio 19, KissFFT 131 (float), Dear ImGui with its GLFW and OpenGL 3 backends, GLFW 3.3, spdlog, fmt, libsndfile,
  CLI11 2.1, nlohmann-json 3, toml++ 3, Eigen 3.4, Boost 1.74 headers, Cairo, Pango, SQLite 3.37 or newer, libpng, the B612 fonts
  for the tests: Catch2 2.13 or 3, FFTW 3, desktop-file-utils, groff, Xvfb, xdotool, PulseAudio and its utilities
TEXT
  exit 1
fi

missing=()
for package in "${packages[@]}"; do
  dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' || missing+=("$package")
done
if [ "${#missing[@]}" -eq 0 ]; then
  echo "All ${#packages[@]} packages are there."
  exit 0
fi

as_root=()
if [ "$(id -u)" -ne 0 ]; then
  command -v sudo >/dev/null 2>&1 || { echo "Not root and no sudo. As root: apt-get install ${missing[*]}" >&2; exit 1; }
  as_root=(sudo)
fi

"${as_root[@]}" apt-get update -q
for package in "${missing[@]}"; do
  if [ -z "$(apt-cache policy "$package" | grep -E 'Candidate: [^(]')" ]; then
    echo "Package $package is not offered by this system's sources. Add the main section of Debian 12 (or newer) or Ubuntu 24.04 universe." >&2
    exit 1
  fi
done
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends "${missing[@]}"
