# One line a test, by layer.
swt_unit_test(base numtext)
swt_unit_test(io files)
swt_unit_test(kinematics filter)
swt_unit_test(kinematics derivative)
swt_unit_test(kinematics subframe)
swt_unit_test(kinematics pose PkgConfig::GSL)
swt_unit_test(kinematics angle)
swt_unit_test(io c3d_read)
