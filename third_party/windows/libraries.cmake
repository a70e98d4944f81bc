# The hm::NAME of ../libraries.cmake for a build by MinGW-w64: Debian's packages have the sources and headers, none has
# the libraries. `check` beside this file unpacks the sources into HUSHMILL_LIBRARY_SOURCES.
enable_language(C)
find_package(Threads REQUIRED)

# hushmill_headers(NAME LINK TARGET): a library that is all headers, as those installed for Linux, and nothing else of /usr/include.
function(hushmill_headers name link)
  set(folder ${PROJECT_BINARY_DIR}/headers/${name})
  file(MAKE_DIRECTORY ${folder})
  file(CREATE_LINK /usr/include/${link} ${folder}/${link} SYMBOLIC)
  add_library(hm_lib_${name} INTERFACE)
  target_include_directories(hm_lib_${name} SYSTEM INTERFACE ${folder})
  add_library(hm::${name} ALIAS hm_lib_${name})
endfunction()

hushmill_headers(boost boost)
hushmill_headers(eigen eigen3)
target_include_directories(hm_lib_eigen SYSTEM INTERFACE /usr/include/eigen3)
hushmill_headers(fmt fmt)
target_compile_definitions(hm_lib_fmt INTERFACE FMT_HEADER_ONLY)
hushmill_headers(toml toml++)
target_compile_definitions(hm_lib_toml INTERFACE TOML_HEADER_ONLY=1)
hushmill_headers(catch2 catch2)

# hushmill_compiled(NAME INCLUDE FILE...): a library whose files need no configuring.
function(hushmill_compiled name include)
  list(TRANSFORM ARGN PREPEND ${HUSHMILL_LIBRARY_SOURCES}/)
  add_library(hm_lib_${name} STATIC ${ARGN})
  target_include_directories(hm_lib_${name} SYSTEM INTERFACE ${HUSHMILL_LIBRARY_SOURCES}/${include})
  target_compile_options(hm_lib_${name} PRIVATE -w)
  add_library(hm::${name} ALIAS hm_lib_${name})
endfunction()

# With the options of Debian's package.
hushmill_compiled(kissfft kissfft kissfft/kiss_fft.c kissfft/kiss_fftr.c)
target_compile_definitions(hm_lib_kissfft PUBLIC kiss_fft_scalar=float)
target_compile_options(hm_lib_kissfft PRIVATE -ffast-math)

# Configured and built by its own CMake files.
add_library(hm_lib_fftw INTERFACE)
target_include_directories(hm_lib_fftw SYSTEM INTERFACE ${HUSHMILL_LIBRARY_SOURCES}/made/include)
target_link_libraries(hm_lib_fftw INTERFACE ${HUSHMILL_LIBRARY_SOURCES}/made/lib/libfftw3.a)
add_library(hm::fftw ALIAS hm_lib_fftw)

# A function beside the library's own: asking each program for its tests means starting Wine once more.
function(catch_discover_tests program)
  add_test(NAME ${program} COMMAND ${program})
endfunction()
