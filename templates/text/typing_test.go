package text_test

import (
	"bytes"
	"testing"

	"philtrum/templates/text"
)

// Whatever the language of a form, letters of every script that is not Han can be typed, and in Chinese those of its
// everyday standard; the font is the same each time.
func TestTyping(t *testing.T) {
	everyone := "Zoë’s Œuvre ¿sí? Größe „Zażółć” ığüş €20 Τα Немного ٣٫٥ أريد گچپژ שלום होंठ १२ বাংলা தமிழ் ไทย ắ –—…"
	for lang, signs := range map[string]string{"en": everyone, "ar": everyone, "zh-Hans": everyone + "希望嘴唇，氯吡格雷（噻嗪）", "ja": "唇をふっくら", "ko": "입술", "zh-Hant": "嘴唇豐滿"} {
		f := text.NewEngine().Typing(lang)
		codes := map[string]bool{}
		for code, sign := range f.Unicode[1:] {
			if codes[sign] || len([]rune(sign)) != 1 {
				t.Errorf("%s: code %d is %q, which another code has or which is no letter", lang, code+1, sign)
			}
			codes[sign] = true
		}
		for _, r := range signs {
			if !codes[string(r)] {
				t.Errorf("%s: %c cannot be typed", lang, r)
			}
		}
		if again := text.NewEngine().Typing(lang); again.Name != f.Name || !bytes.Equal(again.Program, f.Program) || !bytes.Equal(again.Deflated, f.Deflated) {
			t.Errorf("%s: another font the second time", lang)
		}
	}
}

func BenchmarkTyping(b *testing.B) {
	for b.Loop() {
		text.NewEngine().Typing("en")
	}
}
