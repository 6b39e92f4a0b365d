package weigh

import (
	"fmt"
	"slices"
	"strings"

	"gallipot/calc"
	"gallipot/calc/formula"
	"gallipot/calc/law/duties"
	"gallipot/calc/law/table"
	"gallipot/calc/masses"
	"gallipot/calc/sense"
	"gallipot/calc/soap"
	"gallipot/dossier/assess"
	"gallipot/dossier/stock"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// WeighOptions say how large a batch is: by mass, or by the jars it fills.
type WeighOptions struct {
	BatchG     *exact.Num // g; nil: by Jars
	Jars       int
	LossPct    exact.Num  // % of the batch that is lost on pots and tools
	DensityGML *exact.Num // g/ml, for a net content in ml; nil: as the specification has it
	Code       string     // batch code; "" while there is none
}

// WeighSheet is what is printed for one batch. Its JSON keys are stable.
type WeighSheet struct {
	Product     string       `json:"product"`
	Variant     string       `json:"variant"`
	Revision    int          `json:"revision"`
	Date        exact.Date   `json:"date"`
	Code        string       `json:"batch_code"`
	Fingerprint string       `json:"fingerprint"`
	Plan        *masses.Plan `json:"plan"`
	NetG        *exact.Num   `json:"net_g"` // g in one pack as sold; null when not known
	// g in one pack when it is filled, more than net_g where water dries off; null when not known
	FillG    *exact.Num        `json:"fill_g"`
	DriesPct exact.Num         `json:"dries_pct"` // % of what is filled that dries off before sale
	Units    int               `json:"units"`     // packs to fill; 0 when not known
	LossPct  exact.Num         `json:"loss_pct"`
	Cost     masses.Cost       `json:"cost"`
	Stages   []weighStage      `json:"stages"`
	Findings []finding.Finding `json:"findings"`
	Proposed []proposedLot     `json:"proposed_lots,omitempty"` // the lot that expires first before the others

	W   *workshop.Workshop `json:"-"`
	P   *workshop.Product  `json:"-"`
	v   *formula.Variant
	law *table.Tables
	// materialsBy are the raw materials of the workshop made ready for computing.
	materialsBy map[string]*formula.Material
	books       *stock.Book
	result      *calc.Result
	Balance     masses.Balance    `json:"-"`
	cautions    []*duties.Caution // all that are shown, each once, in the order of the table
}

// weighStage is one stretch of the making: something to weigh, steps, or both.
type weighStage struct {
	Title    string          `json:"title"`
	Phase    string          `json:"phase,omitempty"`
	Portion  string          `json:"portion,omitempty"`
	Lines    []int           `json:"lines"` // into plan.lines
	SumG     exact.Num       `json:"sum_g"` // g of its lines
	PotG     exact.Num       `json:"pot_g"` // g of all so far, once it is in one pot
	Cautions []stageCaution  `json:"cautions"`
	Steps    []workshop.Step `json:"-"`
	divide   bool            // the base is divided here
	Joined   bool            `json:"-"` // after it, all so far is in one pot
	seen     []string        // rows of cautions.csv that an earlier stage has in full
}

// stageCaution is what is to be minded with one material.
type stageCaution struct {
	Ingredient string   `json:"ingredient"`
	Sheet      []string `json:"sheet"` // what its sheet says
	Rows       []string `json:"rows"`  // rows of cautions.csv
}

// uncomputable are the findings after which no batch can be planned.
var uncomputable = []string{"not-100", "over-100", "empty-formula", "lye-excess", "no-lye", "no-fat",
	"wrong-alkali", "rounds-to-zero"}

// Weigh plans a batch of one variant.
//
// Errors: a *ingredients.ValueError where the size of the batch cannot be worked
// out. A formula that cannot be made comes back with its findings and without
// stages; see Blocked.
func Weigh(w *workshop.Workshop, a *assess.Assessment, variant string,
	opt WeighOptions) (*WeighSheet, error) {
	results := a.ByVariant(variant)
	if len(results) == 0 {
		return nil, chooseVariant(a.Product)
	}
	s := &WeighSheet{Product: a.Product.ID, Variant: variant, Revision: a.Product.Revision, Date: a.Options.Date,
		Code: opt.Code, Fingerprint: a.Fingerprint,
		LossPct: opt.LossPct, Stages: []weighStage{}, W: w, P: a.Product, books: stock.Of(w, a.Options.Date),
		v: results[0].Input.Variant, law: a.Options.Law, materialsBy: a.Options.Session.Materials, result: results[0]}
	if w.BalanceDivisionG == nil {
		return nil, &exact.ValueError{What: "workshop.yaml does not say how finely your balance weighs",
			Fix: "add balance: {division_g: 0.1}"}
	}
	s.Balance = masses.Balance{DivisionG: *w.BalanceDivisionG, FineG: w.FineDivisionG, FineMaxG: w.FineMaxG}
	batch, err := s.size(opt)
	if err != nil {
		return nil, err
	}
	for _, f := range a.Only([]string{variant}).Findings {
		if f.Severity == finding.Stop {
			s.Findings = append(s.Findings, f)
		}
	}
	var fs []finding.Finding
	s.Plan, fs = masses.PlanBatch(s.result.Recipe, batch, s.Balance, s.law)
	for i := range fs {
		fs[i] = w.OnMaterial(fs[i], fs[i].About.ID)
	}
	s.Findings = calc.Unique(append(s.Findings, fs...))
	s.Cost = masses.CostOf(s.Plan, s.price, s.Units)
	if !s.Blocked() {
		s.lots()
		s.stages()
	}
	return s, nil
}

func chooseVariant(p *workshop.Product) error {
	return &exact.ValueError{What: "a batch is of one variant", Fix: "name it: " + p.ID + "/" +
		strings.Join(workshop.VariantIDs(p.Variants), ", "+p.ID+"/")}
}

// Blocked says whether no batch may be made from this sheet: it cannot be
// computed, or lye would be left over.
func (s *WeighSheet) Blocked() bool {
	return slices.ContainsFunc(s.Findings, func(f finding.Finding) bool {
		return f.Severity == finding.Stop && slices.Contains(uncomputable, f.Code)
	})
}

// Stops says whether anything speaks against making the batch for sale.
func (s *WeighSheet) Stops() bool {
	return slices.ContainsFunc(s.Findings, func(f finding.Finding) bool { return f.Severity == finding.Stop })
}

// price is what a kilogram of a material costs: by the lot that is used next, else by its
// sheet; nil where neither says.
func (s *WeighSheet) price(id string) *exact.Num {
	if perG, _ := s.books.PriceOf(id); perG != nil {
		perKg := perG.Mul(exact.Int(1000))
		return &perKg
	}
	if sheet := s.W.Sheets[id]; sheet != nil {
		return sheet.PricePerKg
	}
	return nil
}

// mostBatchG bounds a batch: ten tonnes are no small workshop.
var mostBatchG = exact.Int(10_000_000)

// size works out the mass of the batch and how many packs it fills.
func (s *WeighSheet) size(opt WeighOptions) (exact.Num, error) {
	var err error
	s.NetG, err = NetGrams(s.P, opt.DensityGML, s.law)
	s.DriesPct = soap.DriesPct(s.P.Product)
	fill := masses.Filling{LossPct: opt.LossPct, DryPct: s.DriesPct}
	if err == nil && s.NetG != nil {
		fill.NetG = *s.NetG
		each := fill.PackG()
		s.FillG = &each
	}
	batch := exact.Num{}
	switch {
	case err != nil && opt.DensityGML != nil: // typed for this batch, and wrong
		return batch, err
	case opt.BatchG != nil:
		batch = *opt.BatchG
		if s.FillG != nil {
			s.Units = fill.Packs(batch)
		}
	case opt.Jars <= 0:
		return batch, &exact.ValueError{What: "the size of the batch is not given",
			Fix: "give --batch 2kg, or --jars 24"}
	case err != nil:
		return batch, err
	case s.NetG == nil:
		return batch, &exact.ValueError{What: s.P.ID + " states no net content",
			Fix: "add net_content: {g: 120} to the product file, or give --batch 2kg"}
	default:
		s.Units = opt.Jars
		batch = masses.RoundUpToStep(fill.BatchFor(opt.Jars), s.Balance.DivisionG)
	}
	if batch.Less(s.Balance.DivisionG) || mostBatchG.Less(batch) {
		return batch, &exact.ValueError{What: "a batch of " + batch.Exact() + " g cannot be weighed out",
			Fix: "give a batch between the division of the balance and " + mostBatchG.Exact() + " g"}
	}
	return batch, nil
}

// NetGrams is the net content in g; nil when it is not stated.
//
// Errors: a *exact.ValueError where it is stated in ml, and the density that turns it
// into g is not known or is one that a product hardly has. Nothing is weighed by such
// a density: 980 in place of 0.98 would make a thousandfold batch.
func NetGrams(p *workshop.Product, density *exact.Num, tables *table.Tables) (*exact.Num, error) {
	switch n := p.Net; {
	case n.G != nil:
		return n.G, nil
	case n.ML == nil:
		return nil, nil
	default:
		if density == nil {
			density, _ = workshop.StatedDensity(p)
		}
		if density == nil {
			return nil, &exact.ValueError{What: p.ID + " is sold by volume and its density is not known",
				Fix: "give --density 0.98 in g/ml, or write density: 0.98 into the specification"}
		}
		if sense.UnusualDensity(tables, *density) {
			return nil, &exact.ValueError{What: "a density of " + density.Exact() + " g/ml is hardly that of " + p.ID +
				", and nothing is weighed by it",
				Fix: "check the figure and its unit: 980 kg/m³ is 0.98 g/ml; if it is right, give the size as --batch 2kg or state the net content in g"}
		}
		g := n.ML.Mul(*density)
		return &g, nil
	}
}

// ParseMass reads "2kg", "500 g" or "1.5 kg" and returns grams.
//
// Errors: a *ingredients.ValueError for anything else; a bare number has no unit
// and is refused.
func ParseMass(text string) (exact.Num, error) {
	s := strings.ToLower(strings.TrimSpace(text))
	factor := exact.Int(0)
	for _, u := range []struct {
		suffix string
		grams  int64
	}{{"kg", 1000}, {"g", 1}} {
		if rest, ok := strings.CutSuffix(s, u.suffix); ok {
			s, factor = strings.TrimSpace(rest), exact.Int(u.grams)
			break
		}
	}
	if factor.IsZero() {
		return factor, &exact.ValueError{What: fmt.Sprintf("%q has no unit", text),
			Fix: "write the mass with its unit, such as 2kg or 500g"}
	}
	n, err := exact.ParseNum(s)
	if err != nil {
		return n, err
	}
	if n.Sign() <= 0 {
		return n, &exact.ValueError{What: fmt.Sprintf("%q is not above 0", text),
			Fix: "write the mass of the batch, such as 2kg"}
	}
	return n.Mul(factor), nil
}
