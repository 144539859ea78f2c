# The whole program, as its users call it.
foreach(case IN ITEMS archive cluster crash run_cases demo_study exported)
  add_test(NAME end_to_end.${case}
    COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/end_to_end/${case} $<TARGET_FILE:swathe>)
endforeach()
add_test(NAME end_to_end.examples
  COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/end_to_end/examples $<TARGET_FILE:swathe>)
set_tests_properties(end_to_end.examples PROPERTIES LABELS end_to_end SKIP_RETURN_CODE 77)
add_test(NAME end_to_end.real_captures
  COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/end_to_end/real_captures $<TARGET_FILE:swathe> ${SWT_CAPTURES})
add_test(NAME end_to_end.measure_reference
  COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/end_to_end/measure_reference $<TARGET_FILE:swathe>)
set_tests_properties(end_to_end.measure_reference PROPERTIES LABELS end_to_end)
foreach(reader IN ITEMS coach researcher student)
  add_test(NAME end_to_end.tutorial_${reader}
    COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/end_to_end/tutorial $<TARGET_FILE:swathe>
            ${PROJECT_SOURCE_DIR}/docs/tutorial-${reader}.md)
endforeach()
if(NOT SWT_SANITIZE) # shells and a stranger's program are not built with the sanitizers
  add_test(NAME end_to_end.completion
    COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/end_to_end/completion $<TARGET_FILE:swathe>)
  add_test(NAME end_to_end.installed
    COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/end_to_end/installed ${PROJECT_BINARY_DIR} ${CMAKE_C_COMPILER})
  set_tests_properties(end_to_end.completion PROPERTIES LABELS end_to_end SKIP_RETURN_CODE 77)
  set_tests_properties(end_to_end.installed PROPERTIES LABELS end_to_end)
endif()
set_tests_properties(end_to_end.archive end_to_end.run_cases end_to_end.exported
  end_to_end.real_captures PROPERTIES LABELS end_to_end SKIP_RETURN_CODE 77)
# Those that run the program for minutes: with one compiler, and without the sanitizers.
set_tests_properties(end_to_end.cluster end_to_end.crash end_to_end.demo_study PROPERTIES
  LABELS "end_to_end;minutes" SKIP_RETURN_CODE 77)
set_tests_properties(end_to_end.tutorial_coach end_to_end.tutorial_researcher
  end_to_end.tutorial_student PROPERTIES LABELS "end_to_end;minutes")
# Most of the time it waits for Slurm's clock: it begins first, beside the others.
set_tests_properties(end_to_end.cluster PROPERTIES COST 200)

# swt_end_to_end_test(name): tests/end_to_end/test_<name>.c, from files to measures
function(swt_end_to_end_test name)
  add_executable(test_${name} end_to_end/test_${name}.c)
  target_link_libraries(test_${name} PRIVATE swt_options swt_support swt::io ${ARGN})
  add_test(NAME end_to_end.${name} COMMAND test_${name})
  set_tests_properties(end_to_end.${name} PROPERTIES LABELS end_to_end)
endfunction()
swt_end_to_end_test(real_swings)
swt_end_to_end_test(forward_model swt_trial)
swt_end_to_end_test(invariances swt_trial)
swt_end_to_end_test(robustness swt_trial)
swt_end_to_end_test(swings_of_a_capture swt_trial)
swt_end_to_end_test(published_ranges swt_trial)
swt_end_to_end_test(stated_uncertainty swt_trial)

if(NOT SWT_SANITIZE) # it adds no code of its own
  # The program with the measure that DEVELOPERS.md adds: its row is put at the end of the table.
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS
    ${PROJECT_SOURCE_DIR}/DEVELOPERS.md ${PROJECT_SOURCE_DIR}/kinematics/measure.c)
  file(READ ${PROJECT_SOURCE_DIR}/DEVELOPERS.md guide)
  string(REGEX MATCH "\n```c\n(    ROW[^`]*)```" row "${guide}")
  set(row "${CMAKE_MATCH_1}")
  file(READ ${PROJECT_SOURCE_DIR}/kinematics/measure.c table)
  string(REPLACE "\n};\n\nsize_t swt_measure_count" "\n${row}};\n\nsize_t swt_measure_count" table "${table}")
  file(CONFIGURE OUTPUT added_measure/measure.c CONTENT "${table}" @ONLY)
  add_executable(swathe_added_measure ${CMAKE_CURRENT_BINARY_DIR}/added_measure/measure.c
    $<TARGET_OBJECTS:swathe>)
  target_link_libraries(swathe_added_measure PRIVATE swt_options $<TARGET_PROPERTY:swathe,LINK_LIBRARIES>)
  target_include_directories(swathe_added_measure PRIVATE ${PROJECT_SOURCE_DIR})
  add_test(NAME end_to_end.added_measure
    COMMAND ${CMAKE_CURRENT_SOURCE_DIR}/end_to_end/added_measure $<TARGET_FILE:swathe_added_measure>)
  set_tests_properties(end_to_end.added_measure PROPERTIES LABELS end_to_end)
endif()
