package ingredients

import (
	"gallipot/ingredients/exact"
	"gallipot/ingredients/source"
)

// Endpoint is what a document says of one endpoint of a substance. One of Result and
// NotRelevant is there; a blank is never "not relevant".
type Endpoint struct {
	Key         string // one of the keys below
	Result      string // as the study says it
	NotRelevant string // why the endpoint does not matter here
	By          string // who gave that reason
	Study       string // method, species, length
	Source      string
	From        *ReadAcross // the substance that the result was borrowed from; nil: its own
	Pos         exact.Pos
}

// ReadAcross says from which substance results are borrowed, and why they may be.
type ReadAcross struct {
	From    string
	CAS     string
	Because string
}

// Classification is the hazard classification that the supplier states for a substance.
type Classification struct {
	NotClassified bool
	Classes       []string
	HPhrases      []string
	Source        string
	Pos           exact.Pos
}

// endpoints are the keys of the endpoints of a substance.
//
// Source: endpoints.csv, its rows but those of the finished product.
var endpoints = []string{
	"id-substance", "id-purity", "id-use", "id-physchem", "cls-clp", "reg-status", "lit-search",
	"id-uv", "skin-irrit", "eye-irrit", "skin-sens", "sens-qra", "sens-resp", "photo-tox",
	"photo-sens", "skin-abs", "oral-abs", "inhal-abs", "toxkin", "acute-oral", "acute-dermal",
	"acute-inhal", "repeat-dose", "pod-corr", "carc", "repro-fert", "repro-dev", "neuro-immuno",
	"photo-geno", "geno-mut", "geno-chrom", "human-data", "id-particle", "endocrine", "cmr", "nano",
	"inter", "vulnerable", "read-across", "source", "uncertainty", "mos", "ttc",
}

// readEndpoints reads what documents say of the endpoints of a substance.
func readEndpoints(v source.Node) (list []Endpoint) {
	v.EachIn("endpoint", "{endpoint: skin-irrit, result: not irritant at 10 %, source: …}",
		func(m *source.Mapping) {
			m.Need("endpoint", "endpoint: skin-irrit")
			e := Endpoint{Key: m.At("endpoint").Choice(endpoints...), Result: m.At("result").Text(),
				NotRelevant: m.At("not_relevant").Text(),
				By:          m.At("by").Text(), Study: m.At("study").Text(), Source: m.At("source").
						Text(), From: readReadAcross(m.At("read_across")), Pos: m.Pos()}
			switch {
			case e.NotRelevant == "":
				m.Need("result", "result: what the study says; or not_relevant: the reason why it does not matter")
				m.Need("source", "source: the document and the page")
			default:
				m.Need("by", "by: who gave the reason")
			}
			list = append(list, e)
		})
	return list
}

func readReadAcross(v source.Node) (r *ReadAcross) {
	v.In("read-across", "{from: the other substance, cas: its number, because: why it may be borrowed}",
		func(m *source.Mapping) {
			m.Need("from", "from: the substance that the result is of")
			m.Need("because", "because: structure, groups, metabolism; why the other one is the worse case")
			r = &ReadAcross{From: m.At("from").Text(), CAS: m.At("cas").CAS(), Because: m.At("because").Text()}
		})
	return r
}

func readClassification(v source.Node) (c *Classification) {
	v.In("classification", "{classes: [Eye Dam. 1], h_phrases: [H318], source: …}", func(m *source.Mapping) {
		m.Need("source", "source: the safety data sheet, section 2 or 3, and its date")
		c = &Classification{NotClassified: m.At("not_classified").Yes(),
			Classes: m.At("classes").Texts("class"), HPhrases: m.At("h_phrases").Texts("statement"),
			Source: m.At("source").Text(), Pos: m.Pos()}
		if !c.NotClassified {
			m.Need("h_phrases", "h_phrases: [H318]; or not_classified: true")
		}
	})
	return c
}
