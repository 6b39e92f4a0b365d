// Package chart draws the charts of a document on any [Canvas]: a page of the PDF, a
// picture on a web page. The data of a chart is plain data of package document.
package chart
