package terms

import (
	"strings"

	"gallipot/dossier/transcribe/figure"
	"gallipot/dossier/transcribe/lexicon"
	"gallipot/dossier/transcribe/recipe/raw"
	"gallipot/ingredients/pattern"
)

var (
	versionNo  = lexicon.Pattern(`(?i)(?:^|[\s(_,-])<<version>>[ .]?(\d+(?:\.\d+)*)(?:$|[\s),:;_-])`)
	headBraces = pattern.New(`[(\[][^)\]]*[)\]]`)
)

// HasVersion says whether a text names the number of a version.
func HasVersion(s string) bool { return versionNo().MatchString(s) }

// CutVersion parts the number of a version from a name; version is empty where there
// is none.
func CutVersion(s string) (version, rest string) {
	m := versionNo().FindStringSubmatchIndex(s)
	if m == nil {
		return "", s
	}
	return s[m[2]:m[3]], strings.Trim(raw.OneLine(s[:m[0]]+" "+s[m[1]:]), " ,-–(:;")
}

// VersionOf says whether a text is about an old, the current, a trial or a
// numbered version.
func (d *Terms) VersionOf(text string) string {
	folded := lexicon.Fold(text)
	switch {
	case d.Holds("formula version", "old", folded):
		return "old"
	case d.Holds("formula version", "current", folded):
		return "current"
	}
	if m := versionNo().FindStringSubmatch(text); m != nil {
		return m[1]
	}
	if d.Starts("formula version", "trial", folded) {
		return "trial"
	}
	return ""
}

// IsNumber says whether a version is a number.
func IsNumber(s string) bool { return s != "" && s[0] >= '0' && s[0] <= '9' }

// VersionLess compares "1.9" with "1.10".
func VersionLess(a, b string) bool {
	x, y := strings.Split(a, "."), strings.Split(b, ".")
	for i := range min(len(x), len(y)) {
		if n, m := figure.Sum(x[i]), figure.Sum(y[i]); !n.Equal(m) {
			return n.Less(m)
		}
	}
	return len(x) < len(y)
}
