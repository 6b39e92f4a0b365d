// Package standards holds fragrances against their certificates and disclosed contents
// against the fragrance Standards.
package standards
