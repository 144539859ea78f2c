# libswathe: the layers as one C library. Its interface is the headers listed here, and nothing else
# is exported: the version script is made from the functions that they declare.
set(SWT_LIBRARY_HEADERS
  base/capture.h
  base/status.h
  base/vector.h
  comparison/change.h
  comparison/corridor.h
  comparison/departure.h
  comparison/path_corridor.h
  comparison/score.h
  comparison/tolerance.h
  comparison/variance.h
  io/c3d/c3d_number.h
  io/c3d/c3d_write.h
  io/csv/csv_write.h
  io/capture/read.h
  io/capture/deidentify.h
  io/file_stamp.h
  io/files.h
  io/names.h
  io/sheet/map_ini.h
  io/sheet/sheet.h
  io/study/packed.h
  io/study/study.h
  kinematics/analyse.h
  kinematics/bind.h
  kinematics/gaps.h
  kinematics/landmark.h
  kinematics/marker_map.h
  kinematics/measure.h
  kinematics/options.h
  kinematics/run.h
  kinematics/swing.h
  kinematics/swings.h
  kinematics/verdict.h)

# 0.x promises no binary compatibility between minor versions, so the minor one is part of the name.
set(SWT_LIBRARY_ABI ${PROJECT_VERSION_MAJOR})
if(PROJECT_VERSION_MAJOR EQUAL 0)
  set(SWT_LIBRARY_ABI 0.${PROJECT_VERSION_MINOR})
endif()

function(swt_write_interface script umbrella)
  set(names)
  set(includes)
  foreach(header IN LISTS SWT_LIBRARY_HEADERS)
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/${header})
    file(STRINGS ${PROJECT_SOURCE_DIR}/${header} lines REGEX "^[^ #/*].*swt_[a-z0-9_]+\\(")
    foreach(line IN LISTS lines)
      if(NOT line MATCHES "static|typedef")
        string(REGEX MATCH "swt_[a-z0-9_]+\\(" name "${line}")
        string(REPLACE "(" "" name "${name}")
        list(APPEND names ${name})
      endif()
    endforeach()
    string(APPEND includes "#include \"${header}\"\n")
  endforeach()
  list(REMOVE_DUPLICATES names)
  string(REPLACE ";" ";\n    " names "${names}")
  file(CONFIGURE OUTPUT ${script} CONTENT
    "SWATHE_@SWT_LIBRARY_ABI@ {\n  global:\n    @names@;\n  local:\n    *;\n};\n" @ONLY)
  set(SWT_LIBRARY_INCLUDES "${includes}")
  configure_file(${PROJECT_SOURCE_DIR}/cmake/swathe.h.in ${umbrella} @ONLY)
endfunction()

set(script ${PROJECT_BINARY_DIR}/libswathe.map)
set(umbrella ${PROJECT_BINARY_DIR}/swathe.h)
swt_write_interface(${script} ${umbrella})

set(objects)
set(uses PkgConfig::GSL PkgConfig::INIH PkgConfig::JANSSON PkgConfig::CRYPTO
  ${HDF5_C_HL_LIBRARIES} ${HDF5_C_LIBRARIES} ${CSV_LIBRARY} Threads::Threads m)
foreach(layer IN ITEMS base kinematics comparison io)
  list(APPEND objects $<TARGET_OBJECTS:swt_${layer}>)
endforeach()

add_library(libswathe SHARED ${objects})
target_link_libraries(libswathe PRIVATE swt_options ${uses} -Wl,--version-script=${script})
set_target_properties(libswathe PROPERTIES OUTPUT_NAME swathe LINK_DEPENDS ${script}
  VERSION ${PROJECT_VERSION} SOVERSION ${SWT_LIBRARY_ABI} LINKER_LANGUAGE C)
add_library(libswathe_static STATIC ${objects})
set_target_properties(libswathe_static PROPERTIES OUTPUT_NAME swathe LINKER_LANGUAGE C)

include(GNUInstallDirs)
include(CMakePackageConfigHelpers)
set(headers_to ${CMAKE_INSTALL_INCLUDEDIR}/swathe)
target_include_directories(libswathe INTERFACE $<INSTALL_INTERFACE:${headers_to}>)
install(TARGETS libswathe EXPORT swathe
  LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT runtime NAMELINK_COMPONENT development)
# The static library is for pkg-config --static; it has no CMake target.
install(TARGETS libswathe_static
  ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development)
foreach(header IN LISTS SWT_LIBRARY_HEADERS)
  get_filename_component(folder ${header} DIRECTORY)
  install(FILES ${header} DESTINATION ${headers_to}/${folder} COMPONENT development)
endforeach()
install(FILES ${umbrella} DESTINATION ${headers_to} COMPONENT development)
install(EXPORT swathe NAMESPACE swathe:: FILE swatheTargets.cmake
  DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/swathe COMPONENT development)
configure_file(cmake/swatheConfig.cmake.in swatheConfig.cmake @ONLY)
write_basic_package_version_file(swatheConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/swatheConfig.cmake ${PROJECT_BINARY_DIR}/swatheConfigVersion.cmake
  DESTINATION ${CMAKE_INSTALL_LIBDIR}/cmake/swathe COMPONENT development)

set(SWT_STATIC_LIBRARIES "-lhdf5_hl -lhdf5")
list(GET HDF5_C_LIBRARIES 0 hdf5)
get_filename_component(hdf5 ${hdf5} DIRECTORY)
if(IS_ABSOLUTE "${hdf5}")
  string(PREPEND SWT_STATIC_LIBRARIES "-L${hdf5} ")
endif()
file(RELATIVE_PATH SWT_PC_TO_PREFIX /${CMAKE_INSTALL_LIBDIR}/pkgconfig /)
configure_file(cmake/swathe.pc.in swathe.pc @ONLY)
install(FILES ${PROJECT_BINARY_DIR}/swathe.pc
  DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig COMPONENT development)
