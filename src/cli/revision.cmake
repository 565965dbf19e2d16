# Writes the revision of the source tree, where it is a clone, into a header: cmake -DSOURCE=… -DOUTPUT=… -P revision.cmake
# Run at every build; the header is touched only when it changes.
set(revision "")
if(EXISTS ${SOURCE}/.git)
  find_program(GIT git)
  if(GIT)
    execute_process(COMMAND ${GIT} -C ${SOURCE} describe --always --dirty --abbrev=12 OUTPUT_VARIABLE revision
                    OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
  endif()
endif()
file(CONFIGURE OUTPUT ${OUTPUT} @ONLY CONTENT [[
#pragma once
#include <string_view>
namespace solotaxi::cli {
inline constexpr std::string_view kRevision = "@revision@";
}
]])
