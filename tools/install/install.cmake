# What `cmake --install` puts where, and the Debian packages of `cpack -G DEB`: program, library for developers, Python module.
include(CMakePackageConfigHelpers)

# Manual pages and completion, made by a program from the definitions of the options.
set(manual_folder ${PROJECT_BINARY_DIR}/manual)
set(manual_pages ${manual_folder}/solotaxi.1)
foreach(command check route plan preview estimate merge screen convert)
  list(APPEND manual_pages ${manual_folder}/solotaxi-${command}.1)
endforeach()
add_custom_command(OUTPUT ${manual_pages} ${manual_folder}/solotaxi.bash COMMAND make_manual ${manual_folder} VERBATIM)
add_custom_target(manual ALL DEPENDS ${manual_pages})

install(TARGETS solotaxi_program RUNTIME COMPONENT program)
install(FILES ${manual_pages} DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT program)
install(FILES ${manual_folder}/solotaxi.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME solotaxi
        COMPONENT program)
install(DIRECTORY data/ DESTINATION ${CMAKE_INSTALL_DATADIR}/solotaxi COMPONENT program)

install(TARGETS solotaxi EXPORT solotaxi ARCHIVE COMPONENT dev)
install(DIRECTORY include/solotaxi TYPE INCLUDE COMPONENT dev)
set(config_folder ${CMAKE_INSTALL_LIBDIR}/cmake/solotaxi)
install(EXPORT solotaxi NAMESPACE solotaxi:: FILE solotaxiTargets.cmake DESTINATION ${config_folder} COMPONENT dev)
configure_package_config_file(tools/install/solotaxiConfig.cmake.in ${PROJECT_BINARY_DIR}/solotaxiConfig.cmake
  INSTALL_DESTINATION ${config_folder})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/solotaxiConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/solotaxiConfig.cmake ${PROJECT_BINARY_DIR}/solotaxiConfigVersion.cmake
        DESTINATION ${config_folder} COMPONENT dev)

set(package_program solotaxi)
set(package_dev libsolotaxi-dev)
set(package_python python3-solotaxi)
set(CPACK_COMPONENTS_ALL program dev)
if(TARGET solotaxi_python)
  list(APPEND CPACK_COMPONENTS_ALL python)
endif()
foreach(component IN LISTS CPACK_COMPONENTS_ALL)
  install(FILES tools/install/copyright DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${package_${component}}
          COMPONENT ${component})
  string(TOUPPER ${component} upper)
  set(CPACK_DEBIAN_${upper}_PACKAGE_NAME ${package_${component}})
endforeach()

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "The solotaxi project")
set(CPACK_PACKAGE_VENDOR "The solotaxi project")
set(CPACK_RESOURCE_FILE_LICENSE ${PROJECT_SOURCE_DIR}/data/LICENSE)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION science)
set(CPACK_DEBIAN_DEV_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEV_PACKAGE_DEPENDS
  "libgdal-dev, libgeos-dev, libgeographiclib-dev, libfmt-dev, libtomlplusplus-dev, libtbb-dev, libboost-graph-dev, libexpat1-dev, libbz2-dev, zlib1g-dev, pkg-config")
set(CPACK_DEBIAN_PYTHON_PACKAGE_SECTION python)
set(CPACK_DEBIAN_PYTHON_PACKAGE_DEPENDS "python3, python3-numpy")
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION "Turns open map data of an airport into a weighted taxi network and plans how
an aircraft with an engine left off taxis across it: the way, which parts
need every engine, and where to start or stop the others. A planning aid,
not for navigation.")
set(CPACK_COMPONENT_DEV_DESCRIPTION "Headers, static library and CMake package, for programs in C++20.")
set(CPACK_COMPONENT_PYTHON_DESCRIPTION "The Python module: fields loaded once and asked many times, results as dicts
and arrays.")
include(CPack)
