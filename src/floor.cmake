# One library per floor of the house.
#
# hushmill_floor(NAME SOURCES a.cpp ... [USES target ...] [KEEPS target ...] [LOOPS])
#   USES   floors and libraries that the public headers need (passed on)
#   KEEPS  libraries that only the .cpp files see (not passed on)
#   LOOPS  most of its time goes into loops over samples, bins or teeth: several at a time where that gives the same numbers
#
# A floor's headers are reached as "NAME/header.hpp", and only by targets that link to it: its include
# folder holds one link, to itself. So a floor that includes one above it does not compile.

# hushmill_own_code(target [TESTS])
#   TESTS  code that is compiled to be run once: less optimised, without debug information, and without the checks of the address
#          and undefined sanitizers, so that a compiler cache has it from the plain build; the code under test has them all, and
#          its assertions
function(hushmill_own_code target)
  cmake_parse_arguments(OWN "TESTS" "" "" ${ARGN})
  target_compile_features(${target} PUBLIC cxx_std_20)
  if(MSVC)
    target_compile_options(${target} PRIVATE /W4 /permissive-)
  else()
    target_compile_options(${target} PRIVATE -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion
      -Wold-style-cast -Woverloaded-virtual -Wnon-virtual-dtor -Wcast-align -Wdouble-promotion -Wformat=2
      -Wimplicit-fallthrough -Wnull-dereference)
    # GCC 12 reports false null dereferences and uninitialised values inside its own and Catch2's headers once sanitizers
    # change inlining.
    if(HUSHMILL_SANITIZE AND NOT (OWN_TESTS AND HUSHMILL_SANITIZE STREQUAL "address"))
      target_compile_options(${target} PRIVATE -Wno-null-dereference -Wno-maybe-uninitialized)
    endif()
  endif()
  # Built a dozen files at a time (CMAKE_UNITY_BUILD), a file's own types look as if a header had them.
  if(CMAKE_UNITY_BUILD AND CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
    target_compile_options(${target} PRIVATE -Wno-subobject-linkage)
  endif()
  if(OWN_TESTS AND NOT MSVC)
    target_compile_options(${target} PRIVATE -O1 -g0)
  endif()
  if(HUSHMILL_WARNINGS_AS_ERRORS)
    target_compile_options(${target} PRIVATE $<IF:$<CXX_COMPILER_ID:MSVC>,/WX,-Werror>)
  endif()
  # Coverage for the fuzzer and every check that costs little. A number that does not fit its integer is no part of `undefined`.
  if(HUSHMILL_FUZZ)
    if(HUSHMILL_FUZZ_FAST)
      # Comparisons are not traced either: loops over numbers are full of them.
      target_compile_options(${target} PRIVATE -O2 -gline-tables-only -fno-omit-frame-pointer
        -fsanitize=fuzzer-no-link,undefined,float-cast-overflow -fno-sanitize=vptr,null,alignment,object-size -fno-sanitize-recover=all
        -fno-sanitize-coverage=trace-cmp)
      target_link_options(${target} PUBLIC -fsanitize=undefined)
    else()
      target_compile_options(${target} PRIVATE -O1 -gline-tables-only -fno-omit-frame-pointer
        -fsanitize=fuzzer-no-link,address,undefined,float-cast-overflow -fno-sanitize=vptr -fno-sanitize-recover=all)
      target_link_options(${target} PUBLIC -fsanitize=address,undefined)
    endif()
  endif()
  if(HUSHMILL_SANITIZE STREQUAL "address")
    # Left out: a third of the compile time, for what crashes under the address sanitizer anyway or does no harm on the
    # machines at hand.
    if(NOT OWN_TESTS)
      target_compile_options(${target} PRIVATE -O1 -UNDEBUG -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
        -fno-sanitize=vptr,null,alignment,object-size)
      # Eigen would ask for its memory in another way here than in the tests' code, which frees it.
      target_compile_definitions(${target} PRIVATE EIGEN_MALLOC_ALREADY_ALIGNED=1)
    endif()
    target_link_options(${target} PUBLIC -fsanitize=address,undefined)
  elseif(HUSHMILL_SANITIZE STREQUAL "thread")
    target_compile_options(${target} PRIVATE -O1 -UNDEBUG -fsanitize=thread -fno-omit-frame-pointer)
    target_link_options(${target} PUBLIC -fsanitize=thread)
  elseif(HUSHMILL_SANITIZE)
    message(FATAL_ERROR "HUSHMILL_SANITIZE is '${HUSHMILL_SANITIZE}'; empty, address or thread would be right")
  endif()
endfunction()

function(hushmill_floor name)
  cmake_parse_arguments(FLOOR "LOOPS" "" "SOURCES;USES;KEEPS" ${ARGN})
  add_library(hm_${name} STATIC ${FLOOR_SOURCES})
  set(door ${PROJECT_BINARY_DIR}/floors/${name})
  file(MAKE_DIRECTORY ${door})
  if(NOT EXISTS ${door}/${name})
    file(CREATE_LINK ${CMAKE_CURRENT_SOURCE_DIR} ${door}/${name} SYMBOLIC)
  endif()
  target_include_directories(hm_${name} PUBLIC ${door})
  target_link_libraries(hm_${name} PUBLIC ${FLOOR_USES} PRIVATE ${FLOOR_KEEPS})
  hushmill_own_code(hm_${name})
  # Not for the sanitizers' builds, which are about errors. No sum is put in another order.
  if(FLOOR_LOOPS AND NOT MSVC AND NOT HUSHMILL_SANITIZE AND NOT HUSHMILL_FUZZ)
    target_compile_options(hm_${name} PRIVATE $<$<NOT:$<CONFIG:Debug>>:-O3 -fno-math-errno -fno-trapping-math>)
  endif()
endfunction()
