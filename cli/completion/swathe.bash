# Completion of `swathe` in bash. All words come from the program's own help.
_swathe() {
    local word=${COMP_WORDS[COMP_CWORD]} program=${COMP_WORDS[0]} command=${COMP_WORDS[1]}
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        COMPREPLY=($(compgen -W "help --version $("$program" help |
            sed -n '/^Commands:/,/^$/s/^  \([a-z][a-z-]*\) .*/\1/p')" -- "$word"))
    elif [ "$command" = help ]; then
        COMPREPLY=($(compgen -W "$("$program" help |
            sed -n 's/^  \([a-z][a-z-]*\) .*/\1/p')" -- "$word"))
    elif [ "${word#-}" != "$word" ]; then
        COMPREPLY=($(compgen -W "$("$program" help "$command" 2>/dev/null |
            sed -n 's/^  \(-[a-z]\)\{0,1\}[, ]*\(--[a-z-]*\).*/\2/p')" -- "$word"))
    fi
}
complete -o bashdefault -o default -F _swathe swathe
