# Writes the header with the name of this build: NAME if the packager gave one, else what git calls the checkout SOURCE.
# cmake -DSOURCE=... -DHEADER=... -DNAME=... -P build_name.cmake, at every build; the header changes only with the name, so that
# nothing is compiled again in vain.
cmake_policy(VERSION 3.22)
if(NOT NAME)
  set(NAME "without git")
  find_program(git git)
  if(git)
    # Sources that were unpacked inside somebody else's checkout are not of that checkout.
    execute_process(COMMAND ${git} -C ${SOURCE} rev-parse --show-cdup OUTPUT_VARIABLE up RESULT_VARIABLE none
                    OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
    if(none EQUAL 0 AND up STREQUAL "")
      execute_process(COMMAND ${git} -C ${SOURCE} describe --tags --always --abbrev=12 --dirty=-changed OUTPUT_VARIABLE found
                      RESULT_VARIABLE none OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
      if(none EQUAL 0 AND found)
        set(NAME ${found})
      endif()
    endif()
  endif()
endif()
file(CONFIGURE OUTPUT ${HEADER} CONTENT "#define HUSHMILL_BUILD_NAME \"@NAME@\"\n" @ONLY)
