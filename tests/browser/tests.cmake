# The pages in a real browser, where Node and Chromium are; the sanitizers look at the same pages in
# the unit tests. axe-core (npm, see package.json) checks contrast and labels where it is installed.
find_program(NODE NAMES node nodejs)
if(NODE AND NOT SWT_SANITIZE)
  set(axe ${CMAKE_CURRENT_SOURCE_DIR}/browser/node_modules/axe-core/axe.min.js)
  if(NOT EXISTS ${axe})
    set(axe)
  endif()
  add_test(NAME browser.pages
    COMMAND ${NODE} ${CMAKE_CURRENT_SOURCE_DIR}/browser/test_pages.js $<TARGET_FILE:swathe>
            ${PROJECT_SOURCE_DIR} ${axe})
  set_tests_properties(browser.pages PROPERTIES LABELS "browser;minutes" SKIP_RETURN_CODE 77)
elseif(NOT NODE)
  message(STATUS "Node is absent: the pages are not tested in a browser")
endif()
