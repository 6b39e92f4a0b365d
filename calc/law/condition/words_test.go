package condition

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gallipot/ingredients/exact"
)

func clause(except bool, terms ...string) Clause {
	c := Clause{Except: except}
	for _, text := range terms {
		kind, value, _ := strings.Cut(text, ":")
		c.Terms = append(c.Terms, Term{Kind: kind, Value: value})
	}
	return c
}

func TestConditionsInWords(t *testing.T) {
	for _, c := range []struct {
		want    string
		clauses []Clause
	}{
		{"in any product", nil},
		{"in any product", []Clause{clause(false, "all")}},
		{"in rinse-off products", []Clause{clause(false, "rinse-off")}},
		{"in products other than oral products", []Clause{clause(true, "product:oral")}},
		{"in products other than those for the lips", []Clause{clause(true, "area:lip")}},
		{"in leave-on products, except oral products and sprays",
			[]Clause{clause(false, "leave-on"), clause(true, "product:oral", "spray")}},
		{"in leave-on products, except sprays", []Clause{clause(false, "leave-on"), clause(true, "spray")}},
		{"as a preservative in rinse-off products",
			[]Clause{clause(false, "function:preservative"), clause(false, "rinse-off")}},
		{"as the nano form in sprays", []Clause{clause(false, "nano"), clause(false, "spray")}},
		{"in shampoos or body lotions that are sprays for the hands",
			[]Clause{clause(false, "product:shampoo", "product:body-lotion"), clause(false, "spray"),
				clause(false, "area:hand")}},
		{"in products that users can breathe in", []Clause{clause(false, "inhalable")}},
		{"in hair dyes for professional use", []Clause{clause(false, "product:hair-dye"), clause(false, "professional")}},
		{"in hair dyes that are also shampoos",
			[]Clause{clause(false, "product:hair-dye"), clause(false, "product:shampoo")}},
		{"in products for children under 3 or children",
			[]Clause{clause(false, "population:under-3", "population:children")}},
		{"in products against sun", []Clause{clause(false, "claim:sun-protection")}},
	} {
		assert.Equal(t, c.want, Condition{Clauses: c.clauses}.Words())
	}
	assert.Equal(t, "not for oral products", clause(true, "product:oral").Words())
	assert.Equal(t, "for sprays, loose powders or nail products",
		clause(false, "spray", "loose-powder", "product:nail").Words())
	assert.Equal(t, "those for the lips", those("products for the lips"))
	assert.Equal(t, "sprays", those("sprays"))
	assert.Equal(t, []string{"", "a", "a or b", "a, b or c"},
		[]string{joinOr(nil), joinOr([]string{"a"}), joinOr([]string{"a", "b"}), joinOr([]string{"a", "b", "c"})})
	for text, want := range map[string]string{"product:bath-salts": "bath salts",
		"product:soap-bar": "soap bars", "form:stick": "stick", "claim:new": "new",
		"area:elbow": "products for elbow", "unknown": "unknown"} {
		kind, value, _ := strings.Cut(text, ":")
		assert.Equal(t, want, Term{Kind: kind, Value: value}.words(), text)
	}
	over := Term{Kind: "released-formaldehyde>", Over: exact.Frac(1, 1000)}
	assert.Equal(t, "more than 0.001 % released formaldehyde", over.words())
	assert.Equal(t, "in products that release more than 0.001 % formaldehyde",
		Condition{Clauses: []Clause{{Terms: []Term{over}}}}.Words())
	assert.Equal(t, "material with 0.1 % butadiene or more", Term{Kind: "butadiene>=", Over: exact.Frac(1, 10)}.words())
}
