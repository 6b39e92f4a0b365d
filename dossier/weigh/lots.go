package weigh

import (
	"strings"

	"gallipot/dossier/document"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
)

// proposedLot is how much of a lot to take for a line of the plan.
type proposedLot struct {
	Line       int        `json:"line"` // of plan.lines
	Lot        string     `json:"lot"`
	G          exact.Num  `json:"g"`
	BestBefore exact.Date `json:"best_before"`
}

// lots proposes what to take, the lot that expires first before the others, and says what
// is short. A workshop without lots is asked for none.
//
// Findings: ask "stock-short".
func (s *WeighSheet) lots() {
	books := s.books
	shelf := books.Shelf(s.Date)
	short := map[string]exact.Num{}
	for i, l := range s.Plan.Lines {
		if !books.ByLot(l.Ingredient) {
			continue
		}
		picks, lacking := shelf.Take(l.Ingredient, l.G)
		for _, p := range picks {
			s.Proposed = append(s.Proposed, proposedLot{i, p.Entry.Lot.Code, p.Amount, p.Entry.Lot.BestBefore})
		}
		if lacking.Sign() > 0 {
			short[l.Ingredient] = short[l.Ingredient].Add(lacking)
		}
	}
	var things finding.Values
	for _, id := range s.materials() {
		g, lacks := short[id]
		if !lacks {
			continue
		}
		v := workshop.With().Is("material", s.W.Material(id)).Num("short", g, "g", finding.AsIs)
		if barred := books.Barred(id, s.Date); barred.Sign() > 0 {
			v = v.Num("barred", barred, "g", finding.AsIs)
		}
		things = things.Term("", "short-of", v.Flag(!books.HasLots(id), "no-lot"))
	}
	if len(things) > 0 {
		f := finding.NewFinding(finding.Ask, "stock-short", s.P.Pos, nil).On(s.P.Name).By(finding.TheMaker)
		f.Things = things
		s.Findings = append(s.Findings, f)
	}
}

// takeCell names the lots to take for a line, with the masses where there are several.
func (s *WeighSheet) takeCell(line int) document.Cell {
	var parts []string
	for _, p := range s.Proposed {
		if p.Line == line {
			parts = append(parts, p.Lot+" "+p.G.Exact()+" g")
		}
	}
	switch len(parts) {
	case 0:
		return document.BlankCell()
	case 1:
		lot, _, _ := strings.Cut(parts[0], " ")
		return document.TextCell(lot)
	}
	return document.TextCell(strings.Join(parts, "\n"))
}
