# The whole program, as its users call it.
add_test(NAME end_to_end.command_lines
  COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/end_to_end/run_cases $<TARGET_FILE:swathe>)
set_tests_properties(end_to_end.command_lines PROPERTIES LABELS end_to_end)

# swt_end_to_end_test(name): tests/end_to_end/test_<name>.c, from files to measures
function(swt_end_to_end_test name)
  add_executable(test_${name} end_to_end/test_${name}.c)
  target_link_libraries(test_${name} PRIVATE swt_options swt_support swt::io ${ARGN})
  add_test(NAME end_to_end.${name} COMMAND test_${name})
  set_tests_properties(end_to_end.${name} PROPERTIES LABELS end_to_end)
endfunction()
swt_end_to_end_test(real_swings)
swt_end_to_end_test(forward_model swt::generator)
