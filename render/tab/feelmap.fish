# Tab completion of feelmap for fish. Each line of the answer is one word, after a tab what it is for;
# fish takes what is in a variable as it is and quotes it for where it goes.
function __feelmap_ask
    set --global __feelmap_offers (env _FEELMAP_COMPLETE=fish \
        _FEELMAP_LINE=(commandline --cut-at-cursor --current-process | string collect) feelmap 2>/dev/null)
    test (count $__feelmap_offers) -gt 0
end
complete --command feelmap --no-files --condition __feelmap_ask --arguments '$__feelmap_offers'
