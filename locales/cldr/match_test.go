package cldr

import "testing"

func TestServes(t *testing.T) {
	offered := []string{"en-GB", "en-US", "es-ES", "fr-FR", "de-DE", "pl-PL", "ar-001", "ar-SA", "hi-IN", "zh-Hans-CN"}
	for want, tag := range map[string]string{
		"es": "es-ES", "es-MX": "es-ES", "es-419": "es-ES", "en": "en-US", "en-AU": "en-GB", "en-IN": "en-GB", "en-PR": "en-US",
		"EN-gb": "en-GB", "ar": "ar-001", "ar-EG": "ar-001", "ar-SA": "ar-SA", "zh": "zh-Hans-CN", "zh-CN": "zh-Hans-CN",
		"zh-SG": "zh-Hans-CN", "cmn": "zh-Hans-CN", "de-CH": "de-DE", "hi-Deva": "hi-IN", "fr-CA": "fr-FR",
		"pt": "", "zh-TW": "", "zh-Hant": "", "hi-Latn": "", "ur": "", "fa": "", "ca": "", "gl": "", "ast": "", "gsw": "",
		"uk": "", "x": "", "": "", "none": "", "esp!": "", "en_GB": "", "und": "", "und-Arab": "", "mul": "", "art-x-foo": "", "x-foo": "", "sr-Latn": "", "en-": "", "zh-yue": "",
	} {
		if got, ok := Serves(want, offered); got != tag || ok != (tag != "") {
			t.Errorf("%s is served by %q, want %q", want, got, tag)
		}
	}
}
