# Gives every library one target name, hm::NAME, so that no other file knows how a system ships it.
# All come as packages of the system: see packages.sh and LIBRARIES.md beside this file.
find_package(PkgConfig REQUIRED)
find_package(Threads REQUIRED)

# hushmill_pkg(NAME MODULE...): hm::NAME from pkg-config, as a system include.
function(hushmill_pkg name)
  pkg_check_modules(HM_${name} REQUIRED IMPORTED_TARGET GLOBAL ${ARGN})
  add_library(hm::${name} ALIAS PkgConfig::HM_${name})
endfunction()

# hushmill_config(NAME PACKAGE TARGET): hm::NAME from a CMake package.
function(hushmill_config name package target)
  find_package(${package} REQUIRED)
  add_library(hm_lib_${name} INTERFACE)
  target_link_libraries(hm_lib_${name} INTERFACE ${target})
  add_library(hm::${name} ALIAS hm_lib_${name})
endfunction()

hushmill_pkg(kissfft kissfft-float)
hushmill_pkg(portaudio portaudio-2.0)
hushmill_pkg(sndfile sndfile)
hushmill_pkg(glfw glfw3)
hushmill_pkg(png libpng)
hushmill_pkg(cairo cairo)
hushmill_pkg(pango pangocairo)
hushmill_pkg(sqlite sqlite3)
hushmill_config(spdlog spdlog spdlog::spdlog)
hushmill_config(fmt fmt fmt::fmt)
hushmill_config(cli11 CLI11 CLI11::CLI11)
hushmill_config(json nlohmann_json nlohmann_json::nlohmann_json)
hushmill_config(eigen Eigen3 Eigen3::Eigen)
hushmill_config(boost Boost Boost::headers)
hushmill_pkg(toml tomlplusplus)

# Dear ImGui: the package brings the library and its GLFW and OpenGL 3 backends.
find_package(OpenGL REQUIRED)
hushmill_pkg(imgui imgui)

if(HUSHMILL_TESTS)
  find_package(Catch2 REQUIRED)
  add_library(hm_lib_catch2 INTERFACE)
  target_link_libraries(hm_lib_catch2 INTERFACE Catch2::Catch2)
  add_library(hm::catch2 ALIAS hm_lib_catch2)
  list(APPEND CMAKE_MODULE_PATH ${Catch2_DIR})
  include(Catch)
  hushmill_pkg(fftw fftw3)
endif()
