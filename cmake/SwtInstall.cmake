# What `cmake --install` and the Debian packages put on a system besides the library.
include(GNUInstallDirs)
install(TARGETS swathe RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT runtime)
install(DIRECTORY datasets/maps examples DESTINATION ${CMAKE_INSTALL_DATADIR}/swathe COMPONENT runtime)
install(FILES README.md DEVELOPERS.md CHANGELOG.md CITATION.cff LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT runtime)
install(DIRECTORY docs examples DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT runtime)
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright COMPONENT runtime)
install(FILES cli/completion/swathe.bash
  DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME swathe COMPONENT runtime)
install(FILES cli/completion/_swathe
  DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions COMPONENT runtime)

# Manual pages are made from the program's own help, where help2man is there.
find_program(HELP2MAN help2man)
if(HELP2MAN AND NOT CMAKE_CROSSCOMPILING AND NOT SWT_SANITIZE)
  add_custom_command(OUTPUT ${PROJECT_BINARY_DIR}/man/swathe.1
    COMMAND ${PROJECT_SOURCE_DIR}/scripts/manpages $<TARGET_FILE:swathe> ${PROJECT_BINARY_DIR}/man
    DEPENDS swathe ${PROJECT_SOURCE_DIR}/scripts/manpages VERBATIM)
  add_custom_target(manpages ALL DEPENDS ${PROJECT_BINARY_DIR}/man/swathe.1)
  install(DIRECTORY ${PROJECT_BINARY_DIR}/man/
    DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT runtime FILES_MATCHING PATTERN "*.1")
endif()

# `cpack` in the build folder makes two Debian packages: swathe (the program, the shared library,
# documentation) and libswathe-dev (headers, static library, pkg-config and CMake files).
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME swathe)
set(CPACK_PACKAGE_CONTACT "The Swathe developers <swathe@example.org>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_COMPONENTS_ALL runtime development)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_NAME swathe)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SECTION science)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_DEPENDS "gnuplot-nox | gnuplot")
set(CPACK_DEBIAN_RUNTIME_DESCRIPTION "golf swings from marker captures, against a corridor of reference swings
 Reads C3D and CSV captures in batches into HDF5 studies, computes segment
 angles, the path of the hands in depth and height and the timing of the
 phases, and holds each swing against the corridor of a reference group.")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libswathe-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS "swathe (= ${PROJECT_VERSION}), libgsl-dev, libhdf5-dev, libcsv-dev, libinih-dev, libjansson-dev, libssl-dev")
set(CPACK_DEBIAN_DEVELOPMENT_DESCRIPTION "Headers and static library of Swathe
 For programs of one's own that read captures, analyse swings or read studies.")
include(CPack)
