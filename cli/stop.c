#include "cli/stop.h"

#include <signal.h>
#include <stddef.h>

static volatile sig_atomic_t requested;

static void note(int signal_number)
{
    (void)signal_number;
    requested = 1;
}

void swt_stop_on_signals(void)
{
    struct sigaction action = {.sa_handler = note, .sa_flags = SA_RESTART | (int)SA_RESETHAND};

    sigemptyset(&action.sa_mask);
    sigaction(SIGTERM, &action, NULL);
    sigaction(SIGINT, &action, NULL);
}

bool swt_stop_requested(void)
{
    return requested != 0;
}
