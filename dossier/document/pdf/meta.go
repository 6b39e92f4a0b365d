package pdf

import (
	"bytes"
	"fmt"
	"sort"
	"strings"
	"unicode/utf16"

	"gallipot/dossier/document"
	"gallipot/dossier/store"
	"gallipot/dossier/words"
	"gallipot/ingredients/exact"
)

// Attachment is a file carried inside a PDF: the maker's own inputs, the
// spreadsheet. It takes no part in the pages.
type Attachment struct {
	Name         string // "heath-wash.yaml": unique, no folder
	MIME         string // "application/yaml"; empty means unknown bytes
	Description  string // a few words for the reader
	Data         []byte
	Relationship string // Source, Data, Alternative, Supplement; empty means Unspecified
}

var relationships = map[string]bool{"Source": true, "Data": true, "Alternative": true, "Supplement": true,
	"Unspecified": true}

// check refuses what a reader of the file could not address.
func (a *Attachment) check(seen map[string]bool) error {
	switch {
	case a.Name == "":
		return fmt.Errorf("dossier: an attachment has no name")
	case strings.ContainsAny(a.Name, "/\\\x00"):
		return fmt.Errorf("dossier: attachment %q: the name must not hold a folder", a.Name)
	case seen[a.Name]:
		return fmt.Errorf("dossier: attachment %q is there twice", a.Name)
	case a.Relationship != "" && !relationships[a.Relationship]:
		return fmt.Errorf("dossier: attachment %q: unknown relationship %q", a.Name, a.Relationship)
	}
	seen[a.Name] = true
	return nil
}

// addFiles adds the attachments and returns what the catalog says about them.
func addFiles(objs *pdfObjects, list []Attachment, date exact.Date) (string, error) {
	if len(list) == 0 {
		return "", nil
	}
	seen := map[string]bool{}
	list = append([]Attachment{}, list...)
	sort.Slice(list, func(i, j int) bool { return pdfString(list[i].Name) < pdfString(list[j].Name) })
	names, af := "", ""
	for i := range list {
		a := &list[i]
		if err := a.check(seen); err != nil {
			return "", err
		}
		spec := addFile(objs, a, date)
		names += fmt.Sprintf(" %s %d 0 R", pdfString(a.Name), spec)
		af += fmt.Sprintf(" %d 0 R", spec)
	}
	return fmt.Sprintf(" /Names <</EmbeddedFiles <</Names [%s]>>>> /AF [%s]", names[1:], af[1:]), nil
}

// zipHead is what a zip file begins with.
var zipHead = []byte("PK\x03\x04")

func addFile(objs *pdfObjects, a *Attachment, date exact.Date) int {
	mime, rel := a.MIME, a.Relationship
	if mime == "" {
		mime = "application/octet-stream"
	}
	if rel == "" {
		rel = "Unspecified"
	}
	params := fmt.Sprintf("/Size %d", len(a.Data))
	if !date.IsZero() {
		params += " /ModDate " + pdfDate(date)
	}
	dict, data := fmt.Sprintf("/Type /EmbeddedFile /Subtype /%s /Params <<%s>>", pdfName(mime), params), a.Data
	if !bytes.HasPrefix(data, zipHead) { // a zip file, such as a workbook, is compressed already
		dict, data = dict+" /Filter /FlateDecode", store.Zlibbed(data)
	}
	file := objs.addStream(dict, data)
	desc := ""
	if a.Description != "" {
		desc = " /Desc " + pdfString(a.Description)
	}
	return objs.add("<</Type /Filespec /F %s /UF %s%s /AFRelationship /%s /EF <</F %d 0 R /UF %d 0 R>>>>",
		pdfString(a.Name), pdfString(a.Name), desc, rel, file, file)
}

// pdfString writes what is printable of a text: as it is when it is plain ASCII, else
// as UTF-16.
func pdfString(s string) string {
	s = words.Printable(s)
	if words.IsPlain(s) {
		return "(" + strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`).Replace(s) + ")"
	}
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return b.String() + ">"
}

// pdfName escapes a name, such as the slash of a media type.
func pdfName(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c > ' ' && c < 0x7F && !strings.ContainsRune("#/()<>[]{}%", rune(c)) {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "#%02X", c)
		}
	}
	return b.String()
}

func pdfDate(d exact.Date) string {
	return "(" + d.Time().Format("D:20060102150405") + "+00'00')"
}

// dictionary writes the plain list of what the file says about itself. It says
// the same as the XMP metadata.
func (i docInfo) dictionary() string {
	s := "<<"
	add := func(key, value string) {
		if value != "" {
			s += "/" + key + " " + pdfString(value) + " "
		}
	}
	add("Title", i.title)
	add("Author", i.author)
	add("Subject", i.subject)
	add("Keywords", i.keywords)
	add("Creator", creatorTool)
	add("Producer", pdfProducer)
	if !i.date.IsZero() {
		s += "/CreationDate " + pdfDate(i.date) + " /ModDate " + pdfDate(i.date)
	}
	return s + ">>"
}

// xmp writes the metadata as the archive rules ask for it.
func (i docInfo) xmp() string {
	var b strings.Builder
	b.WriteString("<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` + "\n" +
		`<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/"` +
		` xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">` + "\n")
	fmt.Fprintf(&b,
		"<pdfaid:part>%d</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>\n<dc:format>application/pdf</dc:format>\n", i.part)
	alt := func(name, value string) {
		if value != "" {
			fmt.Fprintf(&b, "<dc:%s><rdf:Alt><rdf:li xml:lang=\"x-default\">%s</rdf:li></rdf:Alt></dc:%s>\n", name,
				document.XMLText(value), name)
		}
	}
	alt("title", i.title)
	alt("description", i.subject)
	if i.author != "" {
		fmt.Fprintf(&b, "<dc:creator><rdf:Seq><rdf:li>%s</rdf:li></rdf:Seq></dc:creator>\n",
			document.XMLText(i.author))
	}
	if i.keywords != "" {
		fmt.Fprintf(&b, "<pdf:Keywords>%s</pdf:Keywords>\n", document.XMLText(i.keywords))
	}
	fmt.Fprintf(&b, "<pdf:Producer>%s</pdf:Producer>\n<xmp:CreatorTool>%s</xmp:CreatorTool>\n", pdfProducer,
		creatorTool)
	if !i.date.IsZero() {
		t := i.date.Time().Format("2006-01-02T15:04:05+00:00")
		fmt.Fprintf(&b, "<xmp:CreateDate>%s</xmp:CreateDate>\n<xmp:ModifyDate>%s</xmp:ModifyDate>\n", t, t)
	}
	b.WriteString("</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return b.String()
}
