// Package pdf prints a document as PDF/A with its attachments. Start at [Render].
package pdf
