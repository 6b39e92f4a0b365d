package names

import (
	"slices"
	"strings"

	"gallipot/ingredients/namelist"
)

// nanoWords say that a material is a nano form, as keys.
var nanoWords = []string{"nano", "nanoform", "nanomaterial", "nanoparticles", "nanoparticle", "nanopowder",
	"nanosized", "nanoscale"}

// dropNano takes the mark of a nano form from a name: (nano), [nano], the word at
// its head or end, or Nano- before it.
func dropNano(pieces []piece) ([]piece, bool) {
	nano := false
	isNano := func(text string) bool { return slices.Contains(nanoWords, namelist.Key(text)) }
	out := slices.DeleteFunc(slices.Clone(pieces), func(p piece) bool {
		if p.Kind == Bracket && isNano(p.Inside()) {
			nano = true
			return true
		}
		return false
	})
	out = trim(out)
	for i, p := range out {
		if p.Kind == Text && isNano(p.Text) && len(out) > 1 && (i == 0 || i == len(out)-1) {
			return trimJoints(slices.Delete(out, i, i+1)), true
		}
	}
	if len(out) > 0 && out[0].Kind == Text {
		if head, rest, cut := strings.Cut(out[0].Text, "-"); cut && isNano(head) && rest != "" {
			out[0].Text = rest
			return out, true
		}
	}
	return out, nano
}
