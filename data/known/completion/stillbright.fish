# Completion of stillbright for fish 3.1 and newer.
#
# Write it where fish looks:
#   stillbright completion fish > ~/.config/fish/completions/stillbright.fish
# or try it in this shell alone:
#   stillbright completion fish | source

function __stillbright_complete
    set -l words (commandline -opc)
    set -l current (commandline -ct)
    set -l plain (string unescape -- $current 2> /dev/null; or echo -- $current)
    set -l program $words[1]
    type -q -- $program; or set program stillbright
    set -l reply ($program tab-words fish $words[2..-1] "$plain" 2> /dev/null)
    set -l head (string split ' ' -- $reply[1])
    switch "$head[1]"
        case files folders
            # Fish completes names for a command it does not know.
            set -l before (string match -r -- '^--[^=]+=' $current)
            set -l after (string replace -r -- '^--[^=]+=' '' $current)
            set -l names (complete -C"__stillbright_names $after")
            if test $head[1] = folders
                set names (string match -r -- '^.*/$' $names)
            else if set -q head[3]
                set -l wanted (string join '|' -- $head[3..-1])
                set -l kept (string match -ri -- "^.*(?:/|\.(?:$wanted))\$" $names)
                set -q kept[1]; and set names $kept
            end
            for name in $names
                echo -- "$before$name"
            end
        case '*'
            for line in $reply[2..-1]
                echo -- $line
            end
    end
end

complete -c stillbright -f -k -a '(__stillbright_complete)'
