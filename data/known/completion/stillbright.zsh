#compdef stillbright
# Completion of stillbright for zsh 5.
#
# Write it into a folder of fpath and name the folder before compinit runs, in
# ~/.zshrc:
#   mkdir -p ~/.zfunc
#   stillbright completion zsh > ~/.zfunc/_stillbright
#   fpath=(~/.zfunc $fpath); autoload -Uz compinit; compinit
# Or, behind compinit, this line alone:
#   source <(stillbright completion zsh)

_stillbright() {
    local program=${~words[1]} reply kind keep expl
    local -a lines endings candidates
    (( $+commands[$program] )) || [[ -x $program ]] || program=stillbright
    reply=$("$program" tab-words zsh "${(@Q)words[2,CURRENT-1]}" "${(Q)PREFIX}" 2> /dev/null) || return 1
    lines=("${(@f)reply}")
    kind=${${=lines[1]}[1]}
    keep=${${=lines[1]}[2]}
    endings=(${${=lines[1]}[3,-1]})
    candidates=("${(@)lines[2,-1]}")
    [[ -n $keep ]] && (( keep > 0 )) && compset -p $keep
    local -a options
    options=(-M 'm:{[:lower:][:upper:]-_}={[:upper:][:lower:]_-}')
    case $kind in
        folders)
            # The part behind --flag= is not in IPREFIX yet.
            compset -P '--[^=]##='
            _files -/
            ;;
        files)
            compset -P '--[^=]##='
            if (( $#endings )); then
                _files -g "(#i)*.(${(j:|:)endings})"
            else
                _files
            fi
            ;;
        *)
            (( $#candidates )) && [[ -n $candidates[1] ]] || return 1
            case $kind in
                list) options+=(-qS ,) ;;
                open) options+=(-S '') ;;
            esac
            local -a flags values
            flags=(${(M)candidates:#-*})
            values=(${candidates:#-*})
            local -i found=1
            (( $#values )) && _describe -t values value values "${(@)options}" && found=0
            (( $#flags )) && _describe -o -t flags flag flags "${(@)options}" && found=0
            return found
            ;;
    esac
}

if [[ $funcstack[1] == _stillbright ]]; then
    _stillbright "$@"
else
    compdef _stillbright stillbright
fi
