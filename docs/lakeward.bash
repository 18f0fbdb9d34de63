# bash completion for lakeward; made from the table of commands
_lakeward() {
  local current="${COMP_WORDS[COMP_CWORD]}" line=" ${COMP_WORDS[*]:1} "
  COMPREPLY=()
  case "$line" in
    *' now '*) COMPREPLY=($(compgen -W '--on --water --full --store --json --who --why --help' -- "$current")) ;;
    *' season '*) COMPREPLY=($(compgen -W '--on --store --json --who --why --help' -- "$current")) ;;
    *' water add '*) COMPREPLY=($(compgen -W '--outline --area --mean-depth --max-depth --place --elevation --aim-low --aim-high --alarm --start-temperature --season-start --season-end --outflow --pellets --use --harvest --downstream --fish --units --note --dry-run --store --json --who --why --help' -- "$current")) ;;
    *' water set '*) COMPREPLY=($(compgen -W '--outline --area --mean-depth --max-depth --place --elevation --aim-low --aim-high --alarm --start-temperature --season-start --season-end --outflow --pellets --use --harvest --downstream --fish --units --note --dry-run --store --json --who --why --help' -- "$current")) ;;
    *' water show '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' water list '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' water remove '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' zone add '*) COMPREPLY=($(compgen -W '--outline --at --note --kind --store --json --who --why --help' -- "$current")) ;;
    *' zone set '*) COMPREPLY=($(compgen -W '--outline --at --note --kind --rename --store --json --who --why --help' -- "$current")) ;;
    *' zone list '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' zone remove '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' basin '*) COMPREPLY=($(compgen -W '--level --step --at --thermocline --shallower --store --json --who --why --help' -- "$current")) ;;
    *' basin export '*) COMPREPLY=($(compgen -W '--level --interval --paper --store --json --who --why --help' -- "$current")) ;;
    *' survey import '*) COMPREPLY=($(compgen -W '--depth-field --depth-unit --level --date --offset --crs --name --note --dry-run --store --json --who --why --help' -- "$current")) ;;
    *' survey list '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' survey set '*) COMPREPLY=($(compgen -W '--use --level --offset --date --rename --note --store --json --who --why --help' -- "$current")) ;;
    *' survey removed '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' survey restore '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' survey drop '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' survey remove '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' sounding add '*) COMPREPLY=($(compgen -W '--on --level --store --json --who --why --help' -- "$current")) ;;
    *' reading add '*) COMPREPLY=($(compgen -W '--on --depth --by --way --note --store --json --who --why --help' -- "$current")) ;;
    *' reading list '*) COMPREPLY=($(compgen -W '--quantity --store --json --who --why --help' -- "$current")) ;;
    *' reading remove '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' treatment add '*) COMPREPLY=($(compgen -W '--on --purpose --zone --conditions --by --note --store --json --who --why --help' -- "$current")) ;;
    *' treatment list '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' treatment remove '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' note add '*) COMPREPLY=($(compgen -W '--on --by --store --json --who --why --help' -- "$current")) ;;
    *' weather add '*) COMPREPLY=($(compgen -W '--on --rain --wind --air --cloud --forecast --source --store --json --who --why --help' -- "$current")) ;;
    *' override add '*) COMPREPLY=($(compgen -W '--until --store --json --who --why --help' -- "$current")) ;;
    *' override remove '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' material add '*) COMPREPLY=($(compgen -W '--kind --form --grade --package --density --neutralizing-value --fineness --price --note --store --json --who --why --help' -- "$current")) ;;
    *' material set '*) COMPREPLY=($(compgen -W '--kind --form --grade --package --density --neutralizing-value --fineness --price --note --store --json --who --why --help' -- "$current")) ;;
    *' material list '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' material remove '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' lot add '*) COMPREPLY=($(compgen -W '--on --price --note --store --json --who --why --help' -- "$current")) ;;
    *' shelf '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' csv import '*) COMPREPLY=($(compgen -W '--dry-run --water --skip-duplicates --accept-unusual --store --json --who --why --help' -- "$current")) ;;
    *' undo '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' history '*) COMPREPLY=($(compgen -W '--limit --store --json --who --why --help' -- "$current")) ;;
    *' method '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' rules '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' settings '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' settings set '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' serve '*) COMPREPLY=($(compgen -W '--port --store --json --who --why --help' -- "$current")) ;;
    *' new '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' demo '*) COMPREPLY=($(compgen -W '--soundings --store --json --who --why --help' -- "$current")) ;;
    *' backup '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' check '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' export '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' import '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' docs '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' help '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *' version '*) COMPREPLY=($(compgen -W '--store --json --who --why --help' -- "$current")) ;;
    *) COMPREPLY=($(compgen -W 'now season water add water set water show water list water remove zone add zone set zone list zone remove basin basin export survey import survey list survey set survey removed survey restore survey drop survey remove sounding add reading add reading list reading remove treatment add treatment list treatment remove note add weather add override add override remove material add material set material list material remove lot add shelf csv import undo history method rules settings settings set serve new demo backup check export import docs help version --store --version' -- "$current")) ;;
  esac
}
complete -o default -F _lakeward lakeward
