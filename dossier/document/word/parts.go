package word

import "fmt"

// The parts of the file that are the same in every document.

const head = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"

const names = `xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main" ` +
	`xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"`

const contentTypes = head + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
	`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
	`<Default Extension="xml" ContentType="application/xml"/>` +
	`<Override PartName="/word/document.xml" ContentType="application/vnd.openxmlformats-officedocument.wordprocessingml.document.main+xml"/>` +
	`<Override PartName="/word/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.wordprocessingml.styles+xml"/>` +
	`<Override PartName="/word/settings.xml" ContentType="application/vnd.openxmlformats-officedocument.wordprocessingml.settings+xml"/>` +
	`<Override PartName="/word/header1.xml" ContentType="application/vnd.openxmlformats-officedocument.wordprocessingml.header+xml"/>` +
	`<Override PartName="/word/footer1.xml" ContentType="application/vnd.openxmlformats-officedocument.wordprocessingml.footer+xml"/>` +
	`<Override PartName="/docProps/core.xml" ContentType="application/vnd.openxmlformats-package.core-properties+xml"/>` +
	`<Override PartName="/docProps/custom.xml" ContentType="application/vnd.openxmlformats-officedocument.custom-properties+xml"/></Types>`

const relations = `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`

const officeRelation = `http://schemas.openxmlformats.org/officeDocument/2006/relationships/`

const packageLinks = head + relations +
	`<Relationship Id="rId1" Type="` + officeRelation + `officeDocument" Target="word/document.xml"/>` +
	`<Relationship Id="rId2" Type="http://schemas.openxmlformats.org/package/2006/relationships/metadata/core-properties" Target="docProps/core.xml"/>` +
	`<Relationship Id="rId3" Type="` + officeRelation +
	`custom-properties" Target="docProps/custom.xml"/></Relationships>`

const documentLinks = head + relations +
	`<Relationship Id="rId1" Type="` + officeRelation + `styles" Target="styles.xml"/>` +
	`<Relationship Id="rId2" Type="` + officeRelation + `settings" Target="settings.xml"/>` +
	`<Relationship Id="rId3" Type="` + officeRelation + `header" Target="header1.xml"/>` +
	`<Relationship Id="rId4" Type="` + officeRelation + `footer" Target="footer1.xml"/></Relationships>`

// settings keep a word processor from opening the file as one of an older program.
const settings = head + `<w:settings ` + names + `><w:compat><w:compatSetting w:name="compatibilityMode" ` +
	`w:uri="http://schemas.microsoft.com/office/word" w:val="15"/></w:compat></w:settings>`

// The page is A4 upright; lengths are in twentieths of a point.
const (
	pageWidth, pageHeight = 11906, 16838
	marginLeft            = 1134 // holes of a file
	marginRight           = 794
	textWidth             = pageWidth - marginLeft - marginRight
)

var pageSize = fmt.Sprintf(`<w:sectPr><w:headerReference w:type="default" r:id="rId3"/><w:footerReference w:type="default" r:id="rId4"/>`+
	`<w:pgSz w:w="%d" w:h="%d"/><w:pgMar w:top="1134" w:right="%d" w:bottom="1020" w:left="%d" w:header="567" w:footer="510" w:gutter="0"/></w:sectPr>`,
	pageWidth, pageHeight, marginRight, marginLeft)

// styles are the looks of headings, text, cells and furniture.
func styles(language string) string {
	style := func(id, name, paragraph, look string) string {
		return `<w:style w:type="paragraph" w:styleId="` + id + `"><w:name w:val="` + name +
			`"/><w:basedOn w:val="Normal"/><w:next w:val="Normal"/>` +
			`<w:pPr>` + paragraph + `</w:pPr><w:rPr>` + look + `</w:rPr></w:style>`
	}
	heading := func(level int, before, size int) string {
		return style(fmt.Sprintf("Heading%d", level), fmt.Sprintf("heading %d", level),
			fmt.Sprintf(`<w:keepNext/><w:spacing w:before="%d" w:after="80"/><w:outlineLvl w:val="%d"/>`, before,
				level-1),
			fmt.Sprintf(`<w:b/><w:color w:val="224E3E"/><w:sz w:val="%d"/>`, size))
	}
	return head + `<w:styles ` + names +
		`><w:docDefaults><w:rPrDefault><w:rPr><w:rFonts w:ascii="Arial" w:hAnsi="Arial" w:cs="Arial"/>` +
		`<w:sz w:val="19"/><w:lang w:val="` + esc(language) +
		`"/></w:rPr></w:rPrDefault><w:pPrDefault><w:pPr><w:spacing w:after="100"/></w:pPr></w:pPrDefault></w:docDefaults>` +
		`<w:style w:type="paragraph" w:default="1" w:styleId="Normal"><w:name w:val="Normal"/></w:style>` +
		heading(1, 320, 28) + heading(2, 240, 22) + heading(3, 180, 20) +
		style("Title", "Title", `<w:spacing w:after="60"/>`, `<w:b/><w:sz w:val="36"/>`) +
		style("Caption", "caption", `<w:keepNext/><w:spacing w:before="160" w:after="40"/>`,
			`<w:b/><w:sz w:val="18"/>`) +
		style("Cell", "Cell", `<w:spacing w:before="20" w:after="20"/>`, `<w:sz w:val="17"/>`) +
		style("Small", "Small", `<w:spacing w:before="40" w:after="100"/>`,
			`<w:color w:val="5C5C5C"/><w:sz w:val="16"/>`) +
		style("Furniture", "Furniture", `<w:spacing w:after="0"/>`,
			`<w:color w:val="5C5C5C"/><w:sz w:val="15"/>`) + `</w:styles>`
}
