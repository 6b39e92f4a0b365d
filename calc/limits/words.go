package limits

import (
	"strings"

	"gallipot/calc/formula"
	"gallipot/calc/law/annex"
	"gallipot/calc/law/condition"
	"gallipot/ingredients/exact"
)

// ConditionWords says in words where a row holds: "in leave-on products for the
// skin, except lip products".
func ConditionWords(c condition.Condition) string { return conditionWords(c) }

// whereMemory keeps the words of conditions, which many products are told.
type whereMemory struct {
	rows    formula.Memo[*annex.Limit, string]
	clauses formula.Memo[clauseKey, string]
	kept    formula.Memo[keptKey, string]
}

type clauseKey struct {
	row *annex.Limit
	i   int
}

// keptKey is what the words about a limit that is kept rest on.
type keptKey struct {
	row    *annex.Limit
	limit  exact.Num
	strict bool
}

func (m *matcher) words() *whereMemory { return formula.MemoryOf[whereMemory](m.session) }

// where says in words where a row holds, made once for each row.
func (m *matcher) where(row *annex.Limit) string {
	if m == nil {
		return conditionWords(row.Condition)
	}
	return m.words().rows.Of(row, func() string { return conditionWords(row.Condition) })
}

// whereClause says in words what the i-th clause of a row asks for.
func (m *matcher) whereClause(row *annex.Limit, i int) string {
	words := func() string { return "the row is " + clauseWords(row.Condition.Clauses[i]) }
	if m == nil {
		return words()
	}
	return m.words().clauses.Of(clauseKey{row, i}, words)
}

// conditionWords says in words where a row holds, to follow "allowed" or "not
// permitted": "in leave-on products for the skin, except lip products".
func conditionWords(c condition.Condition) string {
	var w phrase
	for _, cl := range c.Clauses {
		w.add(cl)
	}
	return w.String()
}

// phrase gathers the parts of a condition by their place in the sentence.
type phrase struct {
	function []string // as a preservative
	form     []string // as the nano form
	kind     []string // rinse-off, leave-on
	nouns    []string // shampoos or body lotions
	purpose  []string // for the skin
	except   []string
}

func (w *phrase) add(c condition.Clause) {
	var words []string
	for _, t := range c.Terms {
		words = append(words, termWords(t))
	}
	joined := joinOr(words)
	t := c.Terms[0]
	switch {
	case c.Except:
		w.except = append(w.except, words...)
	case t.Kind == "all":
	case t.Kind == "rinse-off", t.Kind == "leave-on":
		w.kind = append(w.kind, strings.TrimSuffix(joined, " products"))
	case t.Kind == "product":
		w.nouns = append(w.nouns, joined)
	case t.Kind == "spray", t.Kind == "aerosol", t.Kind == "propellant-spray", t.Kind == "pump-spray", t.Kind == "loose-powder", t.Kind == "claim":
		if len(w.nouns) > 0 {
			w.purpose = append(w.purpose, "that are "+joined)
		} else {
			w.nouns = append(w.nouns, joined)
		}
	case t.Kind == "area", t.Kind == "population":
		w.purpose = append(w.purpose, "for "+strings.ReplaceAll(strings.ReplaceAll(joined, "products for ", ""),
			"for ", ""))
	case t.Kind == "function":
		w.function = append(w.function, strings.TrimPrefix(joined, "use "))
	case t.Kind == "inhalable":
		w.purpose = append(w.purpose, "that users can breathe in")
	case t.Kind == "professional":
		w.purpose = append(w.purpose, "for professional use")
	case t.Kind == "released-formaldehyde>":
		w.purpose = append(w.purpose, "that release "+strings.ReplaceAll(joined, " released", ""))
	default:
		w.form = append(w.form, "as "+joined)
	}
}

// String puts the parts into one phrase.
func (w *phrase) String() string {
	nouns := "products"
	if len(w.nouns) > 0 {
		nouns = strings.Join(w.nouns, " that are also ")
	}
	text := "in " + strings.Join(append(append(append([]string{}, w.kind...), nouns), w.purpose...), " ")
	switch plain := text == "in products"; {
	case plain && len(w.except) == 0:
		text = "in any product"
	case plain:
		text = "in products other than " + those(formula.JoinAnd(w.except))
	case len(w.except) > 0:
		text += ", except " + formula.JoinAnd(w.except)
	}
	return strings.Join(append(append(append([]string{}, w.function...), w.form...), text), " ")
}

// those avoids saying products twice.
func those(words string) string {
	if rest, ok := strings.CutPrefix(words, "products "); ok {
		return "those " + rest
	}
	return words
}

func joinOr(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// clauseWords says in words what one clause asks for, such as "for rinse-off
// products" or "not for oral products".
func clauseWords(c condition.Clause) string {
	var items []string
	for _, t := range c.Terms {
		items = append(items, termWords(t))
	}
	if c.Except {
		return "not for " + joinOr(items)
	}
	return "for " + joinOr(items)
}

// bareWords word the terms that stand alone.
var bareWords = map[string]string{
	"all": "every product", "rinse-off": "rinse-off products", "leave-on": "leave-on products", "spray": "sprays",
	"aerosol": "pressurised sprays", "propellant-spray": "pressurised sprays", "pump-spray": "pump sprays",
	"inhalable": "products that users can breathe in", "loose-powder": "loose powders", "nano": "the nano form", "massive": "solid metal",
	"professional": "professional use", "natural-content": "content from natural essences",
	"refining-history-unknown": "material whose refining history is not known",
}

var areaNames = map[string]string{
	"skin": "the skin", "face": "the face", "hand": "the hands", "body": "the body", "hair": "hair and scalp", "eye": "the eye area",
	"lip": "the lips", "mucous": "mucous membranes", "nappy": "the nappy area", "nail": "the nails",
}

var populationNames = map[string]string{
	"under-3": "children under 3", "under-6": "children under 6", "under-10": "children under 10", "0.5-1": "children from 6 months to 1 year",
	"6-10": "children from 6 to 10", "1-plus": "users from 1 year on", "3-plus": "users from 3 years on", "6-plus": "users from 6 years on",
	"10-plus": "users from 10 years on", "children": "children",
}

var functionNames = map[string]string{
	"preservative": "use as a preservative", "non-preservative": "use other than as a preservative", "fragrance": "use as a fragrance",
	"ph-adjuster": "use to adjust the pH", "rust-inhibitor": "use against rust", "denaturant": "use to denature alcohol",
	"peroxide-stabiliser": "use to stabilise peroxide", "non-colorant": "use other than as a colourant",
}

var claimNames = map[string]string{
	"sun-protection": "products against sun", "bronzing": "bronzing products", "uv-exposure": "products sold for sunbathing",
}

// productNames word the codes that do not read as they stand.
var productNames = map[string]string{
	"oral": "oral products", "lip": "lip products", "makeup": "make-up", "fragrance": "perfumes", "fragrance-hydroalcoholic": "alcoholic perfumes",
	"fragrance-cream": "perfumed creams", "powder": "powders", "nail": "nail products", "shower-bath": "shower and bath products",
	"face-product": "face products", "hand-product": "hand products", "eye-product": "eye products", "deodorant": "deodorants",
	"antiperspirant": "antiperspirants", "body-lotion": "body lotions", "toothpaste": "toothpaste", "mouthwash": "mouthwash", "mascara": "mascara",
	"self-tan": "self-tanning products", "hair-dye": "hair dyes", "hair-dye-oxidative": "oxidative hair dyes", "hair-dye-nonoxidative": "non-oxidative hair dyes",
	"tooth-whitening": "tooth whiteners", "oral-leave-on": "oral products left on", "foot-care": "foot care products", "face-makeup": "face make-up",
	"eye-makeup": "eye make-up", "eye-shadow": "eye shadows", "makeup-remover": "make-up removers", "hand-wash": "hand washes", "body-soap": "body soaps",
	"depilatory": "depilatories", "nail-varnish": "nail varnishes", "eau-de-toilette": "eaux de toilette", "deodorant-non-spray": "deodorants other than sprays",
	"nail-cleaning": "nail cleaners", "roll-on-deodorant": "roll-on deodorants", "hair-waving": "hair waving products", "eyelash-waving": "eyelash waving products",
	"body-lotion-spray": "spray body lotions", "wash": "washing products",
}

var termNames = map[string]map[string]string{
	"area": areaNames, "population": populationNames, "function": functionNames, "claim": claimNames, "product": productNames,
}

func termWords(t condition.Term) string {
	switch t.Kind {
	case "released-formaldehyde>":
		return "more than " + t.Over.Exact() + " % released formaldehyde"
	case "butadiene>=":
		return "material with " + t.Over.Exact() + " % butadiene or more"
	case "area", "population":
		return "products for " + orKey(termNames[t.Kind][t.Value], t.Value)
	}
	if t.Value == "" {
		return orKey(bareWords[t.Kind], t.Kind)
	}
	return orKey(termNames[t.Kind][t.Value], strings.ReplaceAll(t.Value, "-", " ")+pluralOf(t))
}

// pluralOf makes a product code plural.
func pluralOf(t condition.Term) string {
	if t.Kind != "product" || strings.HasSuffix(t.Value, "s") {
		return ""
	}
	return "s"
}

func orKey(word, key string) string {
	if word == "" {
		return key
	}
	return word
}
