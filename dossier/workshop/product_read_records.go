package workshop

import (
	"slices"

	"gallipot/calc/formula"
	"gallipot/dossier/photo"
	"gallipot/ingredients"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/finding"
	"gallipot/ingredients/source"
)

// properties are what a specification or a reading can speak of beside the pH.
var properties = []string{"appearance", "colour", "odour", "texture", "viscosity", "density", "separation",
	"weight", "water_activity", "microscopy", "function", "pack", "note"}

// readRecords reads what was planned, made, tested and signed.
func readRecords(m *source.Mapping, p *Product, env productEnv) {
	phases := map[string]bool{}
	for _, x := range p.Formula.Phases {
		phases[x.ID] = true
	}
	m.At("process").EachIn("step", "{phase: A, do: Heat and stir, temp_c: 70, minutes: 20, rpm: 500}",
		func(m *source.Mapping) {
			m.Need("do", "do: what is done")
			phase := m.At("phase")
			s := Step{Phase: phase.Text(), Do: m.At("do").Text(), TempC: m.At("temp_c").Num(),
				Minutes: m.At("minutes").NotNegative(), RPM: m.At("rpm").NotNegative(), Pos: m.Pos()}
			if s.Phase != "" && !phases[s.Phase] {
				m.Reader().Report(finding.NewFinding(finding.Ask, codeUnknownPhase, phase.Pos(),
					nil).On(s.Phase).By(finding.TheMaker).At(p.File(), "process.phase", nil))
			}
			p.Process = append(p.Process, s)
		})
	spec := m.At("specification")
	spec.In("specification", `{ph: "5.0-6.0", appearance: …}`, func(m *source.Mapping) {
		p.Specification = Specification{PH: m.At("ph").PH(), Properties: readProperties(m),
			Pos: spec.KeyPos()}
	})
	p.Evidence.PH = p.Specification.PH
	if density, x := StatedDensity(p); density != nil && density.Sign() <= 0 {
		m.Reader().Stop(source.CodeBadNumber, "density", x.Pos, x.Name,
			With().Num("typed", *density, "", finding.AsIs))
	} else {
		p.Evidence.DensityGML, p.Evidence.DensityPos = density, x.Pos
	}
	m.At("stability").EachIn("stability test", "{test: heat, temp_c: 40, weeks: 12, readings: […]}",
		func(m *source.Mapping) {
			p.Stability = append(p.Stability, readStability(m, p.Variants))
		})
	m.At("microbiology").EachIn("microbiological test",
		"{test: challenge, method: ISO 11930, verdict: A, dated: 2026-03-31, file: evidence/…pdf}",
		func(m *source.Mapping) {
			t := readMicroTest(m, p.Variants)
			p.Microbiology = append(p.Microbiology, t)
			if t.Test == "challenge" {
				p.Evidence.ChallengeTests = append(p.Evidence.ChallengeTests,
					formula.ChallengeTest{Method: t.Method, Verdict: t.Verdict, Dated: t.Dated, File: t.File,
						Pos: t.Pos})
			}
		})
	p.Evidence.LowRisk = readLowRisk(m.At("low_risk"))
	p.Documents = ingredients.ReadDocuments(m.At("documents"), ProductDocumentKinds)
	readDealings(m, p, env)
}

// readProperties reads the properties in the order typed.
func readProperties(m *source.Mapping) (list []property) {
	for _, name := range properties {
		v := m.At(name)
		if text := v.Text(); text != "" {
			list = append(list, property{name, text, v.Pos()})
		}
	}
	slices.SortStableFunc(list, func(a, b property) int {
		if a.Pos.Before(b.Pos) {
			return -1
		}
		return 1
	})
	return list
}

func readStability(m *source.Mapping, variants []*formula.Variant) StabilityTest {
	m.Need("test", "test: heat")
	t := StabilityTest{
		Test: m.At("test").Text(), TempC: m.At("temp_c").Num(), Weeks: m.At("weeks").Positive(),
		Pack: m.At("pack").Text(), Batch: m.At("batch").Text(), Started: m.At("started").Date(),
		Verdict: m.At("verdict").Choice("pass", "fail", "open"), File: m.At("file").Text(), Pos: m.Pos(),
	}
	t.Cycles, _ = m.At("cycles").Count(1, 99)
	t.Variant, t.Covers = readTested(m, variants)
	t.Checks = readWeeks(m.At("check_weeks"))
	m.At("readings").EachIn("reading", "{week: 0, ph: 5.4, appearance: ok}", func(m *source.Mapping) {
		m.Need("week", "week: 0")
		t.Readings = append(t.Readings, Reading{
			Week: m.At("week").NotNegative(), PH: m.At("ph").Between(exact.Int(0), exact.Int(14)),
			Properties: readProperties(m), Pos: m.Pos(),
		})
	})
	return t
}

func readMicroTest(m *source.Mapping, variants []*formula.Variant) MicroTest {
	m.Need("test", "test: challenge")
	t := MicroTest{
		Test: m.At("test").Choice("challenge", "count", "organisms", "water-activity",
			"other"), Method: m.At("method").Text(),
		Dated: m.At("dated").Date(), Laboratory: m.At("laboratory").Text(), Batch: m.At("batch").Text(),
		CFUPerG: m.At("cfu_per_g").NotNegative(), Result: m.At("result").Text(), File: m.At("file").Text(),
		Pos: m.Pos(),
	}
	t.Variant, t.Covers = readTested(m, variants)
	if t.Test == "challenge" {
		m.Need("verdict", "verdict: A")
		t.Verdict = m.At("verdict").Choice("A", "B", "fail")
		t.Counts = readCounts(m)
	} else {
		t.Verdict = m.At("verdict").Choice("pass", "fail")
	}
	return t
}

// readTested reads which variant a test was done on and why it covers others.
func readTested(m *source.Mapping, variants []*formula.Variant) (variant string, covers []Bridge) {
	ids := VariantIDs(variants)
	variant = m.At("variant").Choice(ids...)
	m.At("covers").EachIn("variant covered", "{variant: …, because: why the test stands for it too}",
		func(m *source.Mapping) {
			m.Need("variant", "variant: the one that was not tested")
			m.Need("because", "because: why the test stands for it too")
			covers = append(covers, Bridge{m.At("variant").Choice(ids...), m.At("because").Prose(), m.Pos()})
		})
	return variant, covers
}

// readLowRisk reads the case that germs cannot grow in the product; nil when
// none is made.
func readLowRisk(v source.Node) (c *formula.LowRisk) {
	v.In("low-risk case", "{reason: …, water_activity: 0.31, evidence: evidence/…pdf}",
		func(m *source.Mapping) {
			m.Need("reason", "reason: why germs cannot grow in it")
			c = &formula.LowRisk{
				Reason:        m.At("reason").Text(),
				WaterActivity: m.At("water_activity").Between(exact.Int(0), exact.Int(1)),
				PH:            m.At("ph").Between(exact.Int(0), exact.Int(14)),
				EthanolPct:    m.At("ethanol_pct").Pct(),
				File:          m.At("evidence").Text(),
				Pos:           m.Pos(),
			}
			if m.At("evidence").Present() {
				c.Pos = m.At("evidence").Pos()
			}
		})
	return c
}

// readDealings reads what passed between the maker and others.
func readDealings(m *source.Mapping, p *Product, env productEnv) {
	p.FirstPlaced = readFirstPlaced(m.At("first_placed_in"), env.law)
	m.At("notifications").EachIn("notification", "{market: GB, number: …, dated: 2026-03-31}",
		func(m *source.Mapping) {
			m.Need("market", "market: GB")
			m.Need("number", "number: …")
			p.Notifications = append(p.Notifications, Notification{
				Market: m.At("market").Choice(marketWords...), Number: m.At("number").Text(),
				Dated: m.At("dated").Date(), Pos: m.Pos(),
			})
		})
	m.At("assessments").EachIn("assessment",
		"{assessor: …, qualification: …, dated: 2026-03-31, fingerprint: …, revision: 1}",
		func(m *source.Mapping) {
			p.Assessments = append(p.Assessments, readAssessment(m))
		})
	p.Pictures = photo.Read(m.At("pictures"))
	p.Costs = readCosts(m.At("costs"))
	p.Decisions = readDecisions(m.At("decisions"), VariantIDs(p.Variants))
	if v := m.At("complaints"); v.Present() {
		p.ComplaintsPos = v.KeyPos()
	}
	m.At("complaints").EachIn("complaint", "{dated: 2026-03-31, text: …, serious: false}",
		func(m *source.Mapping) {
			m.Need("dated", "dated: 2026-03-31")
			m.Need("text", "text: what happened")
			m.Need("serious",
				"serious: false, or true for lasting harm, a stay in hospital or danger to life")
			p.Complaints = append(p.Complaints, Complaint{
				Dated: m.At("dated").Date(), Text: m.At("text").Prose(), Serious: m.At("serious").Yes(),
				Variant: m.At("variant").Text(),
				Batch:   m.At("batch").Text(), Outcome: m.At("outcome").Prose(),
				Reported: m.At("reported").Date(), ReportedPos: m.At("reported").Pos(),
				Kind: m.At("kind").Choice("effect",
					"quality"), Causal: m.At("causality").Choice(causalities...), Pos: m.Pos(),
			})
		})
	p.Sold = readSold(m.At("sold"), p.Variants)
}
