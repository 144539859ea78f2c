# Against programs that share no code with this project; each skips when its program is absent.
add_executable(test_c3d_files reference/test_c3d_files.c)
target_link_libraries(test_c3d_files PRIVATE swt_options swt_support swt::io)
add_test(NAME reference.c3d_files COMMAND test_c3d_files)
set_tests_properties(reference.c3d_files PROPERTIES LABELS reference)

add_executable(test_poses reference/test_poses.c)
target_link_libraries(test_poses PRIVATE swt_options swt_trial)
add_test(NAME reference.poses COMMAND test_poses)
set_tests_properties(reference.poses PROPERTIES LABELS reference)
if(PYTHON3) # the stored values are what SciPy gives today
  add_test(NAME reference.poses_in_scipy
    COMMAND ${PYTHON3} ${PROJECT_SOURCE_DIR}/tests/reference/pose_reference.py --check)
  set_tests_properties(reference.poses_in_scipy PROPERTIES LABELS reference SKIP_RETURN_CODE 77)
endif()
if(PYTHON3) # the CSV tables in NumPy and in R
  add_test(NAME reference.tables COMMAND ${PYTHON3} ${PROJECT_SOURCE_DIR}/tests/reference/read_tables.py
           $<TARGET_FILE:swathe> ${PROJECT_SOURCE_DIR})
  set_tests_properties(reference.tables PROPERTIES LABELS reference SKIP_RETURN_CODE 77)
endif()

add_executable(test_statistics reference/test_statistics.c)
target_link_libraries(test_statistics PRIVATE swt_options swt_support swt::comparison)
add_test(NAME reference.statistics COMMAND test_statistics)
set_tests_properties(reference.statistics PROPERTIES LABELS reference)
if(PYTHON3) # the stored values are what SciPy gives today
  add_test(NAME reference.statistics_in_scipy
    COMMAND ${PYTHON3} ${PROJECT_SOURCE_DIR}/tests/reference/statistics_reference.py --check)
  set_tests_properties(reference.statistics_in_scipy PROPERTIES LABELS reference SKIP_RETURN_CODE 77)
endif()
