# Finds the ratio sheet that was shown for a file before, without Python: written by perflour into the git
# folder, and written anew where what stands in the next lines is no longer so. For any sh with `test -O`
# and `-nt`; it starts no program but one sha256sum, and cat. Whatever is odd ends it without a word, and the
# sheet is made. Who can write here can set git's own config: nothing is guarded against that one.
kept=@kept@
known=@known@
environment=@environment@

is_this_perflour() {
    at=$kept/times # empty files, each of the time of one that counts
    [ -d "$at" ] && [ ! -L "$kept" ] && [ "@asked@" = "$environment" ] || return 1
@tests@
}

is_plain() { # whether it is a file, neither it nor a folder above it a link
    [ -f "$1" ] || return 1
    at=$1
    while [ ! -L "$at" ]; do
        case $at in
        */*) at=${at%/*} ;;
        *) return 0 ;;
        esac
    done
    return 1
}

show_kept() { # takes the file, and the folder of the house file or nothing; shows the sheet and ends, or returns
    is_this_perflour && [ -f "$1" ] && [ ! -L "$1" ] || return 1
    if [ -n "$2" ]; then
        is_plain "$2/house.yaml" || return 1
        if is_plain "$2/ingredients.yaml"; then
            set -- "$1" "$2/house.yaml" "$2/ingredients.yaml"
        elif [ -e "$2/ingredients.yaml" ] || [ -L "$2/ingredients.yaml" ]; then
            return 1
        else
            set -- "$1" "$2/house.yaml"
        fi
    else
        set -- "$1"
    fi
    sums=$(sha256sum -- "$@" @records@) || return 1
    IFS='
'
    name=
    for line in $sums; do
        sum=${line%% *}
        case $sum in
        *[!0-9a-f]* | '') return 1 ;; # a name with a line end in it, or another sha256sum
        esac
        name=$name-$sum
    done
    case $name in
    *"$known") name=${name%"$known"} ;;
    *) return 1 ;;
    esac
    name=${name#-}
    sheet=$kept/${name%"${name#??}"}/$name
    [ -f "$sheet" ] && [ ! -L "$sheet" ] && [ -O "$sheet" ] || return 1
    { exec cat; } <"$sheet" # another git may just have taken it away
}
