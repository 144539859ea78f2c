# Against programs that share no code with this project; each skips when its program is absent.
add_executable(test_c3d_files reference/test_c3d_files.c)
target_link_libraries(test_c3d_files PRIVATE swt_options swt_support swt::io)
add_test(NAME reference.c3d_files COMMAND test_c3d_files)
set_tests_properties(reference.c3d_files PROPERTIES LABELS reference)
