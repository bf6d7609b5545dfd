# Completion of stillbright for bash 3.2 and newer.
#
# With the package bash-completion, write it where that looks:
#   mkdir -p ~/.local/share/bash-completion/completions
#   stillbright completion bash > ~/.local/share/bash-completion/completions/stillbright
# Without it, put this line into ~/.bashrc:
#   source <(stillbright completion bash)

_stillbright() {
    local program=$1 head kind keep reply candidate cur ending
    case $program in "~"/*) program=$HOME${program#"~"} ;; esac
    type -P -- "$program" > /dev/null || program=stillbright
    COMPREPLY=()
    reply=$("$program" tab-words bash "${COMP_LINE:0:COMP_POINT}" "$COMP_WORDBREAKS" 2> /dev/null) || return
    head=${reply%%$'\n'*}
    read -r kind keep ending <<< "$head"
    case $kind in
        files | folders)
            # With COMPREPLY empty, readline completes names by itself.
            _stillbright_names "$kind" "$2" $ending
            return
            ;;
        list | open)
            type compopt > /dev/null 2>&1 && compopt -o nospace 2> /dev/null
            ;;
    esac
    [[ $reply == *$'\n'* ]] || return
    while IFS= read -r candidate; do
        COMPREPLY+=("$candidate")
    done <<< "${reply#*$'\n'}"
}

# _stillbright_names completes folders, and files with one of the endings; where
# there is none of them, or the word is quoted, any name.
_stillbright_names() {
    local kind=$1 cur=$2 name pattern ending
    shift 2
    type compopt > /dev/null 2>&1 && compopt -o filenames 2> /dev/null
    case $cur in
        *[\"\'\\\$\~\`]*) set -- ;;
    esac
    if [[ $kind == files && $# -eq 0 ]]; then
        type compopt > /dev/null 2>&1 && compopt -o default 2> /dev/null
        return
    fi
    while IFS= read -r name; do
        [[ $name ]] || continue
        if [[ -d $name ]]; then
            COMPREPLY+=("$name")
            continue
        fi
        for ending in "$@"; do
            pattern=$(tr '[:upper:]' '[:lower:]' <<< "${name##*.}")
            [[ $pattern == "$ending" ]] && COMPREPLY+=("$name")
        done
    done <<< "$(compgen -f -- "$cur")"
    if [[ ${#COMPREPLY[@]} -eq 0 ]]; then
        if [[ $kind == folders ]]; then
            type compopt > /dev/null 2>&1 && compopt -o dirnames 2> /dev/null
        else
            type compopt > /dev/null 2>&1 && compopt -o default 2> /dev/null
        fi
    fi
}

complete -F _stillbright stillbright
