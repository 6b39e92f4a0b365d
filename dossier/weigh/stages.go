package weigh

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/calc/law"
	"gallipot/calc/law/duties"
	"gallipot/calc/masses"
	"gallipot/dossier/assess"
	"gallipot/dossier/words"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/exact"
)

// stages puts the lines and the steps into the order in which they are done: by
// the process, each phase weighed where the process first comes to it; a phase
// that the process does not name where it stands in the formula. The base is
// divided before what belongs to single portions; additions come last.
func (s *WeighSheet) stages() {
	runs := s.runs()
	split := len(runs) // from which run on the base is divided already
	for i, r := range runs {
		if r.phase != "" && len(s.basePhase(r.phase)) == 0 && s.inPortions(r.phase) {
			split = i
			break
		}
	}
	done := map[string]bool{}
	for _, r := range runs[:split] {
		s.addRun(r, done, runs)
	}
	for _, ph := range s.P.Formula.Phases {
		if !done[ph.ID] && len(s.basePhase(ph.ID)) > 0 {
			s.addRun(stepRun{phase: ph.ID}, done, nil)
		}
	}
	s.portionStages()
	for _, r := range runs[split:] {
		s.Stages = append(s.Stages, weighStage{Title: s.phaseTitle(r.phase, false), Phase: r.phase, Steps: r.steps})
	}
	s.additions("")
	s.totals()
}

// stepRun is a stretch of steps of one phase.
type stepRun struct {
	phase string
	steps []workshop.Step
}

// runs joins neighbouring steps of one phase.
func (s *WeighSheet) runs() []stepRun {
	var runs []stepRun
	for _, st := range s.P.Process {
		if n := len(runs); n > 0 && runs[n-1].phase == st.Phase {
			runs[n-1].steps = append(runs[n-1].steps, st)
			continue
		}
		runs = append(runs, stepRun{st.Phase, []workshop.Step{st}})
	}
	return runs
}

// basePhase lists the lines of a phase that go into the base.
func (s *WeighSheet) basePhase(phase string) (lines []int) {
	for i, l := range s.Plan.Lines {
		if l.Phase == phase && l.Portion == "" && !l.Added {
			lines = append(lines, i)
		}
	}
	return lines
}

func (s *WeighSheet) inPortions(phase string) bool {
	return slices.ContainsFunc(s.Plan.Lines, func(l masses.PlanLine) bool {
		return l.Phase == phase &&
			l.Portion != ""
	})
}

// addRun adds a stretch of the process, and before it whatever has to be weighed
// for it: its phase the first time, and phases in front of it that no step names.
func (s *WeighSheet) addRun(r stepRun, done map[string]bool, runs []stepRun) {
	if r.phase != "" && !done[r.phase] {
		for _, ph := range s.P.Formula.Phases {
			if ph.ID == r.phase {
				break
			}
			named := slices.ContainsFunc(runs, func(x stepRun) bool { return x.phase == ph.ID })
			if !done[ph.ID] && !named && len(s.basePhase(ph.ID)) > 0 {
				s.addRun(stepRun{phase: ph.ID}, done, runs)
			}
		}
	}
	st := weighStage{Title: s.phaseTitle(r.phase, !done[r.phase]), Phase: r.phase, Steps: r.steps}
	if r.phase != "" && !done[r.phase] {
		done[r.phase] = true
		st.Lines = s.basePhase(r.phase)
		st.Cautions = s.cautionsOf(st.Lines, r.phase)
	} else if r.phase != "" {
		st.Title += ", again"
	}
	s.Stages = append(s.Stages, st)
}

// phaseTitle names a phase, the first time with what it is heated to.
func (s *WeighSheet) phaseTitle(id string, first bool) string {
	if id == "" {
		return "All together"
	}
	for _, ph := range s.P.Formula.Phases {
		if ph.ID != id {
			continue
		}
		title := "Phase " + ph.ID
		if ph.Name != "" {
			title += ": " + ph.Name
		}
		if ph.HeatC != nil && first {
			title += ", heat to " + ph.HeatC.Exact() + " °C"
		}
		return title
	}
	return "Phase " + id
}

// portionStages divides the base, and weighs what each portion has of its own.
func (s *WeighSheet) portionStages() {
	if len(s.Plan.Portions) == 0 {
		return
	}
	s.Stages = append(s.Stages, weighStage{Title: "Divide the base", divide: true})
	for _, part := range s.Plan.Portions {
		st := weighStage{Title: words.UpperFirst(part.Name), Portion: part.Name}
		for i, l := range s.Plan.Lines {
			if l.Portion == part.Name && !l.Added {
				st.Lines = append(st.Lines, i)
			}
		}
		st.Cautions = s.cautionsOf(st.Lines, "")
		s.Stages = append(s.Stages, st)
		s.additions(part.Name)
	}
}

// additions are stirred in last.
func (s *WeighSheet) additions(portion string) {
	st := weighStage{Title: "Stir in last", Portion: portion}
	if portion != "" {
		st.Title = words.UpperFirst(portion) + ": stir in last"
	}
	for i, l := range s.Plan.Lines {
		if l.Portion == portion && l.Added {
			st.Lines = append(st.Lines, i)
		}
	}
	if len(st.Lines) == 0 {
		return
	}
	st.Cautions = s.cautionsOf(st.Lines, "")
	s.Stages = append(s.Stages, st)
}

// totals adds up each stage and what is in the pot after it.
func (s *WeighSheet) totals() {
	var pot exact.Num
	for i := range s.Stages {
		st := &s.Stages[i]
		for _, l := range st.Lines {
			st.SumG = st.SumG.Add(s.Plan.Lines[l].G)
		}
		if st.Portion != "" {
			for _, p := range s.Plan.Portions {
				if p.Name == st.Portion {
					pot = p.BaseG
				}
			}
			for _, before := range s.Stages[:i] {
				if before.Portion == st.Portion {
					pot = pot.Add(before.SumG)
				}
			}
		}
		pot = pot.Add(st.SumG)
		st.PotG = pot
	}
	s.joins()
	s.repeats()
}

// joins marks the stages after which all so far is in one pot: steps that come
// back to an earlier phase or are about all phases, and the last weighing of the
// base. Phases before that stand in vessels of their own.
func (s *WeighSheet) joins() {
	weighings, last := 0, -1
	for i, st := range s.Stages {
		if st.Portion != "" || st.divide {
			continue
		}
		switch {
		case len(st.Lines) > 0:
			weighings, last = weighings+1, i
		case len(st.Steps) > 0 && weighings > 1 && !s.dividedBefore(i):
			s.Stages[i].Joined = true
		}
	}
	if weighings > 1 {
		s.Stages[last].Joined = true
	}
}

// repeats notes which cautions an earlier stage has in full already.
func (s *WeighSheet) repeats() {
	var seen []string
	for i := range s.Stages {
		s.Stages[i].seen = slices.Clone(seen)
		for _, c := range s.Stages[i].Cautions {
			for _, row := range c.Rows {
				seen = words.AddOnce(seen, row)
			}
		}
	}
}

// dividedBefore says whether the base is divided before a stage.
func (s *WeighSheet) dividedBefore(i int) bool {
	return slices.ContainsFunc(s.Stages[:i], func(st weighStage) bool { return st.divide })
}

// cautionsOf gathers what is to be minded with the materials of a stage.
func (s *WeighSheet) cautionsOf(lines []int, phase string) (out []stageCaution) {
	materials := s.materialsBy
	var others []*formula.Material
	for _, i := range lines {
		others = append(others, materials[s.Plan.Lines[i].Ingredient])
	}
	others = slices.DeleteFunc(others, func(m *formula.Material) bool { return m == nil })
	for _, m := range others {
		b := assess.Bench{Law: s.law, HeatC: s.heatOf(phase), Others: others, Soap: s.P.Saponify != nil &&
			holdsLye(m)}
		c := stageCaution{Ingredient: m.Sheet.ID, Sheet: words.OrEmpty(m.Sheet.Handling), Rows: []string{}}
		for _, row := range b.Cautions(m) {
			c.Rows = append(c.Rows, row.Key)
			if !slices.Contains(s.cautions, row) {
				s.cautions = append(s.cautions, row)
			}
		}
		known := slices.ContainsFunc(out, func(o stageCaution) bool { return o.Ingredient == c.Ingredient })
		if !known && len(c.Sheet)+len(c.Rows) > 0 {
			out = append(out, c)
		}
	}
	order := law.Cautions(s.law, "making")
	slices.SortFunc(s.cautions,
		func(a, b *duties.Caution) int { return slices.Index(order, a) - slices.Index(order, b) })
	return out
}

// holdsLye says whether a material brings alkali that reacts with fat.
func holdsLye(m *formula.Material) bool {
	return slices.ContainsFunc(m.Parts, func(p formula.Part) bool {
		return p.INCI == "Sodium Hydroxide" ||
			p.INCI == "Potassium Hydroxide"
	})
}

// waterInBase says whether a line of the base is mostly water, so that what boils
// off can be added back; into hot fat it must not. A small addition that happens
// to be watery makes no water phase.
func (s *WeighSheet) waterInBase() bool {
	materials := s.materialsBy
	aqua, small := s.law.Dictionary().Canonical("Aqua"), law.Fact(s.law, "weigh-small-below").Number
	return slices.ContainsFunc(s.Plan.Lines, func(l masses.PlanLine) bool {
		m := materials[l.Ingredient]
		return m != nil && l.Portion == "" && !l.Added && mainPart(m) == aqua && !l.Pct.Less(small)
	})
}

// mainPart names the substance that a material holds most of; "" where none is
// stated.
func mainPart(m *formula.Material) (inci string) {
	var most exact.Num
	for _, p := range m.Parts {
		if most.Less(p.Pct.Typ) {
			inci, most = p.INCI, p.Pct.Typ
		}
	}
	return inci
}

// heatOf is the most that a phase is heated to, by the formula and its steps.
func (s *WeighSheet) heatOf(phase string) (most *exact.Num) {
	take := func(c *exact.Num) {
		if c != nil && (most == nil || most.Less(*c)) {
			most = c
		}
	}
	if phase == "" {
		return nil
	}
	for _, ph := range s.P.Formula.Phases {
		if ph.ID == phase {
			take(ph.HeatC)
		}
	}
	for _, st := range s.P.Process {
		if st.Phase == phase {
			take(st.TempC)
		}
	}
	return most
}
