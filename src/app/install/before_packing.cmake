# Run by cpack between installing into its own folder and packing that.
cmake_policy(VERSION 3.22)
find_program(gzip gzip REQUIRED)
file(GLOB_RECURSE plain ${CPACK_TEMPORARY_INSTALL_DIRECTORY}/hushmill.1 ${CPACK_TEMPORARY_INSTALL_DIRECTORY}/changelog)
if(NOT plain)
  message(FATAL_ERROR "neither manual page nor changelog below ${CPACK_TEMPORARY_INSTALL_DIRECTORY}")
endif()
# Without name and time, so that the same sources give the same package.
execute_process(COMMAND ${gzip} -9nf ${plain} COMMAND_ERROR_IS_FATAL ANY)
