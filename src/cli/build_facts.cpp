#include "build_facts.hpp"

#include <fmt/format.h>
#include <gdal.h>
#include <geos_c.h>
#include <ogr_srs_api.h>

#include <CLI/Version.hpp>
#include <Eigen/Core>
#include <GeographicLib/Config.h>
#include <boost/version.hpp>
#include <nlohmann/detail/macro_scope.hpp>
#include <osmium/version.hpp>
#include <toml++/toml.h>

#include "revision.hpp"

namespace solotaxi::cli {

std::string project_version() { return SOLOTAXI_VERSION; }

std::string build_facts() {
  int proj_major = 0, proj_minor = 0, proj_patch = 0;
  OSRGetPROJVersion(&proj_major, &proj_minor, &proj_patch);
  const std::string revision(kRevision);
  return fmt::format(
      "solotaxi {}{}\n"
      "build:     {}, {} {}, C++{}\n"
      "libraries: GDAL {}, PROJ {}.{}.{}, GEOS {}, GeographicLib {}, Boost {}.{}.{}, libosmium {},\n"
      "           Eigen {}.{}.{}, fmt {}.{}.{}, JSON {}.{}.{}, TOML {}.{}.{}, CLI11 {}",
      SOLOTAXI_VERSION, revision.empty() ? "" : fmt::format(" (revision {})", revision), SOLOTAXI_BUILD_TYPE,
#ifdef __clang__
      "Clang", __clang_version__,
#else
      "GCC", __VERSION__,
#endif
      __cplusplus / 100 % 100, GDALVersionInfo("RELEASE_NAME"), proj_major, proj_minor, proj_patch, GEOSversion(),
      GEOGRAPHICLIB_VERSION_STRING, BOOST_VERSION / 100000, BOOST_VERSION / 100 % 1000, BOOST_VERSION % 100,
      LIBOSMIUM_VERSION_STRING, EIGEN_WORLD_VERSION, EIGEN_MAJOR_VERSION, EIGEN_MINOR_VERSION, FMT_VERSION / 10000,
      FMT_VERSION / 100 % 100, FMT_VERSION % 100, NLOHMANN_JSON_VERSION_MAJOR, NLOHMANN_JSON_VERSION_MINOR,
      NLOHMANN_JSON_VERSION_PATCH, TOML_LIB_MAJOR, TOML_LIB_MINOR, TOML_LIB_PATCH, CLI11_VERSION);
}

}  // namespace solotaxi::cli
