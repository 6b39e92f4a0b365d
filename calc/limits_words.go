package calc

import (
	"strings"

	"gallipot/calc/law"
)

// conditionWords says in words when a row holds.
func conditionWords(c law.Condition) string {
	var parts []string
	for _, cl := range c.Clauses {
		parts = append(parts, clauseWords(cl))
	}
	return strings.Join(parts, ", ")
}

// clauseWords says in words what one clause asks for, such as "for rinse-off
// products" or "not for oral products".
func clauseWords(c law.Clause) string {
	var items []string
	for _, t := range c.Terms {
		items = append(items, termWords(t))
	}
	joined := strings.Join(items, " or ")
	if c.Except {
		return "not for " + strings.Join(items, ", nor for ")
	}
	return "for " + joined
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
	"preservative": "use as a preservative", "non-preservative": "uses other than preserving", "fragrance": "use as a fragrance",
	"ph-adjuster": "use to adjust the pH", "rust-inhibitor": "use against rust", "denaturant": "use to denature alcohol",
	"peroxide-stabiliser": "use to stabilise peroxide", "non-colorant": "uses other than colouring",
}

var claimNames = map[string]string{
	"sun-protection": "products against sun", "bronzing": "bronzing products", "uv-exposure": "products sold for sunbathing",
}

// productNames word the codes that do not read as they stand.
var productNames = map[string]string{
	"oral": "oral products", "lip": "lip products", "makeup": "make-up", "fragrance": "perfumes", "fragrance-hydroalcoholic": "alcoholic perfumes",
	"fragrance-cream": "perfumed creams", "powder": "powders", "nail": "nail products", "shower-bath": "shower and bath products",
	"face-product": "face products", "hand-product": "hand products", "eye-product": "eye products", "deodorant": "deodorants",
	"antiperspirant": "antiperspirants", "body-lotion": "body lotions", "body-lotion-spray": "spray body lotions", "wash": "washing products",
}

var termNames = map[string]map[string]string{
	"area": areaNames, "population": populationNames, "function": functionNames, "claim": claimNames, "product": productNames,
}

func termWords(t law.Term) string {
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
	return orKey(termNames[t.Kind][t.Value], strings.ReplaceAll(t.Value, "-", " "))
}

func orKey(word, key string) string {
	if word == "" {
		return key
	}
	return word
}
