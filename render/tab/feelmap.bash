# Tab completion of feelmap for bash. Each line of the answer is one word, quoted for where it goes.
_feelmap() {
    local offer
    COMPREPLY=()
    while IFS= read -r offer; do
        COMPREPLY+=("$offer")
    done < <(env _FEELMAP_COMPLETE=bash _FEELMAP_LINE="${COMP_LINE:0:COMP_POINT}" _FEELMAP_WORD="$2" \
        "$1" 2>/dev/null)
}
complete -o default -F _feelmap feelmap
