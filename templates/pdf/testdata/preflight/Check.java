import java.io.File;
import org.apache.pdfbox.preflight.PreflightDocument;
import org.apache.pdfbox.preflight.ValidationResult;
import org.apache.pdfbox.preflight.parser.PreflightParser;

/** Validates each file named against PDF/A-1b; prints one line a file, then one for each error. */
class Check {
    public static void main(String[] names) throws Exception {
        boolean bad = false;
        for (String name : names) {
            PreflightParser parser = new PreflightParser(new File(name));
            ValidationResult result;
            try {
                parser.parse();
                try (PreflightDocument document = parser.getPreflightDocument()) {
                    document.validate();
                    result = document.getResult();
                }
            } catch (org.apache.pdfbox.preflight.exception.SyntaxValidationException e) {
                result = e.getResult();
            }
            System.out.println(new File(name).getName() + " valid=" + result.isValid());
            for (ValidationResult.ValidationError error : result.getErrorsList()) {
                System.out.println("  " + error.getErrorCode() + " " + error.getDetails());
            }
            bad |= !result.isValid();
        }
        System.exit(bad ? 1 : 0);
    }
}
