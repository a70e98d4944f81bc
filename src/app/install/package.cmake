# The package for Debian and its like: `cpack --config build/CPackConfig.cmake` writes hushmill_VERSION_ARCH.deb. Nothing runs
# when it is installed or removed: a person's journal and settings are theirs, and desktop, icons and manual pages are taken
# up by the triggers of their own packages.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME hushmill)
set(CPACK_PACKAGE_VENDOR "Hushmill developers")
set(CPACK_PACKAGE_CONTACT "Hushmill developers <developers@hushmill.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "monitor that hears chatter in a milling cut")
set(CPACK_PACKAGE_DESCRIPTION "Hushmill listens to a milling cut through a plain microphone and tells the
person at the machine whether the tool is chattering, and which spindle speed
to turn to, lower or higher. It keeps a journal, checks the microphone, finds
natural frequencies from hammer taps, writes reports and holds lessons with
simulated cuts.

It is advice only and touches no control.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)

set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
# Libraries that are linked name themselves; the font of the screen is read by its file name.
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_DEPENDS fonts-b612)
# Sound through the desktop's server, and what the window library loads by itself, if it is there.
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS
    "pipewire-alsa | libasound2-plugins, libxcursor1, libxi6, libxinerama1, libxkbcommon0, libxrandr2")

# Debian wants manual page and changelog packed; in a plain prefix they are read as they are.
set(CPACK_PRE_BUILD_SCRIPTS ${CMAKE_CURRENT_SOURCE_DIR}/before_packing.cmake)
include(CPack)
