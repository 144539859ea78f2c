# The whole program, as its users call it.
add_test(NAME end_to_end.command_lines
  COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/end_to_end/run_cases $<TARGET_FILE:swathe>)
set_tests_properties(end_to_end.command_lines PROPERTIES LABELS end_to_end)
