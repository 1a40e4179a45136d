#compdef feelmap
# Tab completion of feelmap for zsh. Each line of the answer is one word, after a tab what it is for;
# compadd takes words as they are and quotes them for where they go. Nothing here evaluates an answer.
_feelmap() {
    local answer line
    local -a offers shown list
    answer="$(env _FEELMAP_COMPLETE=zsh _FEELMAP_LINE="${(j: :)words[1,CURRENT-1]} $QIPREFIX$PREFIX" \
        feelmap 2>/dev/null)"
    for line in "${(@f)answer}"; do
        [[ -n $line ]] || continue
        offers+=("${line%%$'\t'*}")
        shown+=("${line/$'\t'/  -- }")
        [[ $line != *$'\t'* ]] || list=(-l)
    done
    if (( ${#offers} )); then
        compadd $list -d shown -a offers
    else
        [[ $PREFIX != --*=* ]] || compset -P 1 '*='  # files in the place of an option's value
        _files
    fi
}
if [[ ${zsh_eval_context[-1]} == loadautofunc ]]; then
    _feelmap "$@"
else
    compdef _feelmap feelmap
fi
