package templates_test

import (
	"io/fs"
	"path"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"

	"gallipot/ingredients/exact"
)

// These types hold what the checks of this file look at; the reader of product
// files proper is tested where it lives.
type product struct {
	ID      string
	Formula struct {
		Basis  string
		Phases []struct {
			ID    string
			Lines []struct{ Ingredient, Slot, Amount string }
		}
	}
	Variants []struct {
		ID       string
		Fill     map[string]fill
		Portions []struct {
			Share string
			Fill  map[string]fill
		}
		ThenAdd []struct{ Ingredient string } `yaml:"then_add"`
	}
	Process []struct{ Phase string }
}

// fill is one material, or several with their shares.
type fill []struct{ Ingredient, Share string }

func (f *fill) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind == yaml.ScalarNode {
		*f = fill{{Ingredient: n.Value, Share: "100"}}
		return nil
	}
	return n.Decode((*[]struct{ Ingredient, Share string })(f))
}

// check looks at one product of a workshop whose sheets are known.
type check struct {
	*testing.T
	fsys  fs.FS
	slots map[string]bool
}

func TestProductsHangTogether(t *testing.T) {
	for label, fsys := range workshops(t) {
		t.Run(label, func(t *testing.T) {
			seen := map[string]bool{}
			each(t, fsys, "products/*.yaml", func(t *testing.T, name string, data []byte) {
				var p product
				if err := yaml.Unmarshal(data, &p); err != nil {
					t.Fatal(err)
				}
				if p.ID+".yaml" != path.Base(name) || seen[p.ID] {
					t.Errorf("id %q: not the file name, or there twice", p.ID)
				}
				seen[p.ID] = true
				c := check{T: t, fsys: fsys, slots: map[string]bool{}}
				c.formula(&p)
				c.variants(&p)
			})
		})
	}
}

func (c check) sheet(id string) {
	c.Helper()
	if _, err := fs.Stat(c.fsys, "ingredients/"+id+".yaml"); err != nil {
		c.Errorf("no sheet for %q", id)
	}
}

// formula checks that every line names a sheet or a slot, and that the
// percentages make 100 or leave something for q.s.
func (c check) formula(p *product) {
	var sum exact.Num
	phases, rest := map[string]bool{}, 0
	for _, phase := range p.Formula.Phases {
		if phases[phase.ID] {
			c.Errorf("phase %s is there twice", phase.ID)
		}
		phases[phase.ID] = true
		for _, l := range phase.Lines {
			if l.Slot != "" {
				c.slots[l.Slot] = true
			} else {
				c.sheet(l.Ingredient)
			}
			if l.Amount == "q.s." {
				rest++
				continue
			}
			sum = sum.Add(c.num(l.Amount))
		}
	}
	for _, step := range p.Process {
		if !phases[step.Phase] {
			c.Errorf("the process names phase %q, which the formula has not", step.Phase)
		}
	}
	hundred := exact.Int(100)
	switch {
	case p.Formula.Basis == "grams":
		if rest > 0 {
			c.Error("q.s. in a formula in grams")
		}
	case rest > 1, rest == 1 && !sum.Less(hundred), rest == 0 && !sum.Equal(hundred):
		c.Errorf("the lines make %s %% with %d times q.s.", sum, rest)
	}
}

func (c check) variants(p *product) {
	seen := map[string]bool{}
	for _, v := range p.Variants {
		if v.ID == "" || seen[v.ID] || strings.Contains(v.ID, "/") {
			c.Errorf("variant id %q is empty, there twice or holds a slash", v.ID)
		}
		seen[v.ID] = true
		c.fills(v.Fill)
		var shares exact.Num
		for _, portion := range v.Portions {
			shares = shares.Add(c.num(portion.Share))
			c.fills(portion.Fill)
		}
		if len(v.Portions) > 0 && !shares.Equal(exact.Int(100)) {
			c.Errorf("the portions of %s make %s %%", v.ID, shares)
		}
		for _, a := range v.ThenAdd {
			c.sheet(a.Ingredient)
		}
	}
}

func (c check) fills(fills map[string]fill) {
	for slot, parts := range fills {
		if !c.slots[slot] {
			c.Errorf("slot %q is filled, but the formula has no such line", slot)
		}
		var shares exact.Num
		for _, part := range parts {
			c.sheet(part.Ingredient)
			shares = shares.Add(c.num(part.Share))
		}
		if !shares.Equal(exact.Int(100)) {
			c.Errorf("the shares of slot %s make %s %%", slot, shares)
		}
	}
}

func (c check) num(text string) exact.Num {
	c.Helper()
	n, err := exact.ParseNum(text)
	if err != nil || n.Sign() <= 0 {
		c.Errorf("%q is no amount above 0 (%v)", text, err)
	}
	return n
}
