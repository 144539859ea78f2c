#include "base/status.h"
