"""Whether a sentence asks for something, with a question mark or without."""

from __future__ import annotations

import re
from collections.abc import Sequence

from triage.split.sentences import ASIDE, DOUBT, LIST_MARK
from triage.trade_words import names_a_part

# Words that make an ask of a sentence without a question mark. Must not catch "I wonder at the view", "When I took it in, …",
# "When time allows, …", "Do without it" or "Which sounds easy, but …", nor "the upshot is that it is fine", "what's more, I
# have a spare"; nor what only lacks its
# "I" or "it": "Do have the tool", "Would also require a chain", "Can't bend it", "Was sure it would hold", "Did a quick check", "Was
# trying to save weight" (but "was trying to find out why" asks).
ASKS = re.compile(
    r"""^\W*(?:(?:hi|hello|hey|so|and|also|but|ok|okay|now|well|anyway|quick\sone|question|ps|p\.s\.|secondly|oh)\b[\s,:.–-]*)*
    (?!(?:can|could|should|would|may|might|must)\s(?:of|have|be)\b)(?!(?:please|pls|plz)\s(?:bear|forgive|excuse|ignore|note|be\s(?:kind|gentle|patient)|don['’]t\slaugh)\b)
    (?!(?:am|was|were)\s(?:just\s|out\s|happily\s)?(?!wonder|hop|look|think|ask|trying\sto\s(?:find|figure|work|decide|understand|learn|choose|pick|settle|identify|determine|diagnose|sort|see|solve|track)\b)\w+ing\b[^?]*$)
    (?!(?:am|was|were)\s(?!(?:i|you|he|she|it|we|they|that|this|these|those|the|my|your|his|her|its|our|their|there|an?|any\w*|some\w*|one|not|wonder\w*|hop\w+|look\w+|think\w+|ask\w+|trying|just|out|happily|\w+['’]s)\b)[^?]*$)(?!did\s(?:an?|some|all|everything|nothing)\b[^?]*$)
    (?!(?:(?:would|will|could|might|may|must|should)\s(?:not|probably|likely|definitely|certainly|never(?!-)|still|just|then|even|rather|prefer|require|involve|mean|also\s(?!like|love|appreciate|be\sgood|help|it|that|this|they|i|we|you|the|my|a|an|any)\w+)|
       do\s(?:not|have|know|like|want|need|use|own|realise|realize|understand)|does\s(?:not|have|seem|look|feel)|did\s(?:not|have|try|check|notice|manage|find)|
       (?:is|are|was|were)\s(?:not|currently|already|still|just|on|in|about|quite|very|so|able|unable|fitted))\b[^?]*$)(?!(?:were|had)\s(?:i|we|it|they|he|she|you)\b[^?]*$)(?!can['’]t\s(?!(?:i|we|you|he|she|it|they|one|any\w+|some\w+|the|this|that|these|those|my|our|a|an)\b)[^?]*$)(?!do\s(?:without|away|not|nothing|so|it|that|them)\b[^?]*$)(?!what(?:['’]s|\sis|\swas)\smore(?:,|\s(?:i|we|he|she|it|they|there|the|my|our)\b)[^?]*$)(?!what\swith\b[^?]*$)(?!should\s(?:you|anyone|anybody)\s(?:need|want|wish|have|be|ever)\b[^?]*$)(?!what\s(?:(?:must|may|might|could|would)\shave|happen(?:s|ed)|i\s(?:did|do|found|noticed|have\s(?:done|tried)))\b[^?]{0,60}\b(?:is|was)\b[^?]*$)(?:can|could|should|shall|would|will|is|are|am|do|does|did|may|might|must|was|were|isn't|aren't|
       (?:has|have)\s(?:i|you|we|they|he|she|it|any|anyone|anybody|the|my|these|those|others|there)\b|
       when\s(?:should|do|does|did|is|are|was|were|can|could|will|would|must|shall|to|exactly|best)\b|
       what(?!\san?\s)|which\s(?!is\s(?!the\b|it\b|more\b|most\b|better\b|best\b|right\b|correct\b|\w{3,}(?:er|est)\b)|(?:i|we|he|she|they|it|was|were|sounds?|means?|meant|makes?|made|seems?|looks?|feels?|leaves?|left|brings?|gives?|gave|has|had|happened)\b)|why|how|where|who|whose|what's|whats|how's|any\s(?:idea|advice|thoughts|tips|suggestion|clue|chance)|
       anyone|anybody|does\sanyone|help|please|pls|plz|need\shelp|looking\sfor\sadvice|wondering|curious)\b""",
    re.X,
)
# Within a sentence "is the", "are the" ask only where they begin a clause: "these are the ones that work" tells.
# "The same goes for any advice I gave" and "two miles, of which one was uphill" ask nothing.
ASKS_WITHIN = re.compile(
    r"""\b(?:i(?:'m|\sam|\swas|'ve\sbeen|\shave\sbeen)?\s*(?:(?:just|also|still|do|now|sometimes|often)\s)?wonder(?:ing|ed)?,?\s(?:(?:though|then|now|also|still|sometimes|aloud),?\s)?(?:if|whether|what|how|why|which)|\bi\s(?:keep\s)?ask(?:ing)?\smyself\b|
    (?:want|would\slike|(?:i|we)['’]d\slike|need|would\slove|(?:i|we)['’]d\slove)\sto\s(?:find\sout|learn)\s(?:if|whether|what|how|why|which|where|who)\b|
    (?:i|we)\s(?:want|wanted|would\slike|'d\slike|need|needed|'d\slove|would\slove)\sto\s(?:know|understand|ask|check|be\ssure)|(?:i'm|i\sam)\snot\ssure\s(?:if|whether|what|how|why|which)|
    (?:i'm|i\sam|i’m|we're|we\sare)\s(?:\w+\s)?(?:debating|deciding|torn|undecided|in\stwo\sminds)\s(?:about\s|over\s|as\sto\s|on\s)?(?:if|whether|between|which|how)\b|
    (?:i'm|i\sam)\s(?:\w+\s)?not\s(?:\w+\s)?sure\s(?:of|about)\s(?:the\s(?:best|right|proper|correct)|which|what|how|whether)\b|
    (?:can|could|would)\syou\s(?:please\s)?(?:tell|explain|help|say|advise|recommend|suggest|confirm|settle)|
    any\s(?:idea|ideas|advice|thoughts|tips|suggestions|clue|chance|recommendations?)\b(?!\si(?:['’]ve)?\s?(?:(?:have|ever|gave|give|offer\w*|may|might|had)\b|\W*$))|
    \b(?:can|could)\s(?:this|that|it|he|she|they)\s(?:really\s|possibly\s)?be\s(?:right|true|so)\b|
    (?:please|pls)\s(?:help|advise|explain|tell|settle)|(?:^\W*|[,;–-]\s*)tell\s(?:me|us)\s(?:why|how|what|which|whether|if|when|where)\b|no\sidea\s(?:why|what|how)|don't\sknow\s(?:if|whether|why|what|how|which)|
    (?<!\bto\s)(?:is|are|isn't|will|would|can|could|should|does|do)\s(?:it|(?:(?<!\w\sis\s)|(?<=and\sis\s)|(?<=but\sis\s)|(?<=so\sis\s)|(?<=or\sis\s))that|this|they|i|we|my|(?:(?<!\w\sis\s)(?<!\w\sare\s)|(?<=and\sis\s)|(?<=but\sis\s)|(?<=so\sis\s)|(?<=or\sis\s)|(?<=and\sare\s)|(?<=but\sare\s)|(?<=so\sare\s)|(?<=or\sare\s)|(?<=if\sis\s)|(?<=sure\sis\s)|(?<=sure\sare\s)|(?<=know\sis\s)|(?<=know\sare\s)|(?=the\s(?:[\w-]+\s){1,4}(?:safe|ok|okay|normal|dangerous|legal)\W*$))the|there|these)\b[^.!]*(?:safe|ok|okay|fit|work|possible|compatible|allowed|true|normal|worth|bad|dangerous|enough|legal|fine)\b|
    what\s(?:should|can|could|would|do|does|is|are|causes?)\b(?!\si\ssay)|how\s(?:do|can|should|much|many|long|often|far|tight|big|to)\b|how\s\w+\s(?:an?\s(?:\w+\s){1,2})?(?:is|are|will|would)\s(?:it|that|this|they|the|my)\b|why\s(?:does|do|is|are|did|would)\b|(?<!\bof\s)which\s(?:one|of(?!\scourse\b)|size|tyre|tire|oil|grease|lube|type|bearing|bottom)\b|
    (?:^\W*|\b(?:and|but|or|so|know|tell|sure|say|see|decide|wonder|wondering|idea|of|clear|confused|out|about|question)\s(?:me\s)?)which\sis\s(?:it|the|more|most|\w{3,}(?:er|est))\b|which\sis\s(?:the\s)?(?:better|best|right|correct|safer|stronger|cheaper|easier)\b|
    ^\W*any\s(?:and\sall\s)?(?:help|input|pointers?|guidance|assistance|insights?|info|information|feedback)\b[^.!?]{0,60}\b(?:appreciated|welcomed?|received|great|good|nice|lovely|useful|helpful|please)\b|
    ^\W*(?:also|and)\s[^.!?]{3,40}\s(?:please|pls|plz)\b|^\W*and\swhile\s(?:we|i|you)(?:\sare|\sam|['’]re|['’]m)\s(?:at\sit|here)\b(?!,?\s(?:i|we|he|she|they|thank\w*|keep|love)\b)|what\s(?:gives|pressure|size|torque|lube|oil|grease|tyre|tire|gear|else|now)\b|safe\sto\s(?:ride|use)|(?:^\W*|\b(?:is|are|am|be|if|whether|it|it's|its|this|that|they|still|safe|which|or)\s(?:\w+\s){0,2})ok\sto\s(?:ride|use|run)|do\si\s(?:need|have)|thoughts\?)""",
    re.X,
)
# What asks for an answer in so many words, wherever it stands: "Suggestions and comments welcome!", "I'd really like some advice". Must
# not catch what was wished for or given before: "your help was much appreciated", "I was trying to find out why".
_ADVICE = r"(?:advice|suggestions?|comments?|opinions?|ideas|thoughts|help|input|pointers?|guidance|views|tips|recommendations?|experiences?|confirmation|solutions?|explanation)"
WISHES = re.compile(
    rf"\b{_ADVICE}\b(?!\si\b)(?:(?!\b(?:was|were|had|(?:has|have)\sbeen)\b)[^.?!]){{0,60}}\b(?:welcome|welcomed|appreciated|awesome|fantastic|great|brilliant|useful|helpful)\b\W*"
    r"(?:thanks|thank you|cheers|please|in advance|all|guys|folks|everyone|here|by me|in the comments)?\W*$|"
    rf"\b(?:grateful|thankful|glad|happy|keen|interested|curious|nice|good|great)\s(?:for|of|to (?:hear|know|have|get|see|learn))\s(?:\w+\s){{0,3}}?(?:{_ADVICE}|how|what|why|which|whether|if|from)\b|"
    rf"\b(?:i|we)(?:['’]d|\swould|['’]m|\sam|\scould|['’]re|\sare)?\s(?:\w+\s){{0,2}}?(?:like|want|need|use|appreciate|after|love|welcome)\s(?:\w+['’]?s?\s){{0,3}}?{_ADVICE}\b|"
    r"\b(?:i|we)(?:['’]d|\swould)\s(?:\w+\s)?(?:like|love)\sto\s(?:know|find out|hear|learn|understand|be sure)\b|"
    r"(?<!was )(?<!were )(?<!been )\btrying\sto\s(?:figure|work|find|make)\sout\s(?:if|whether|why|what|how|which|where)\b|"
    rf"(?<!not )(?<!n['’]t )\b(?:looking|hoping|searching)\sfor\s(?:\w+\s){{0,2}}?{_ADVICE}\b|"
    r"\bcurious\s(?:if|whether|how|why|what|which)\b|(?:^\W*|\b(?:so|and|but|just|also|i)\s)wonder(?:ed|ing)?\s(?:if|whether|why|how|what|which)\b"
)
# "Or must I buy longer bolts." Must not catch "or is found in a shed" nor "or I could buy longer bolts".
_OR_ASKS = re.compile(
    r"^\W*or (?:else |rather |maybe |perhaps )?(?:can|could|should|shall|would|will|is|are|am|do|does|did|must|may|might|has|have)\s"
    r"(?:i|we|it|they|he|she|this|that|these|those|the|my|our|there)\b(?:\s[\w'’-]+){2}"
)
# "No matter how much I use" and "depending on how far I ride" ask nothing, nor do "so I could learn how to do it" and "I asked
# the shop how to fit them", which tell what was.
_NO_ASK = re.compile(
    r"\b(?:don'?t know|do not know|not sure|no idea|wonder(?:ing)?)\s(?:if|whether)\s[^.?!,;]{0,30}\b(?:can|could|might|will|would)\s(?:be able to\s)?help\b|"
    r"\bwhat(?:['’]s| is| was) more(?:,|(?=\s(?:i|we|he|she|it|they|there|the|my|our)\b))|"
    r"\b(?:no matter|regardless of|depend(?:s|ing) on|that's|that is|this is)\s(?:how|what|which|why)\b|"
    r"\b(?:(?:going|gonna|about|have|time|mean|plan|intend)\s(?:to\s)?|i['’]?ll\s|i will\s|must\s)(?:finally\s)?learn\b[^.?!;]{0,40}\bhow\b|"
    r"\b(?:learn(?:ed|t|ing)?|taught (?:me|myself|us)|show(?:ed|s|n) (?:me|us|him|her))\show\b(?! (?:much|many|long|often|far))|"
    r"\b(?:i|we|he|she|they)\s(?:then\s|also\s|just\s|have\s|had\s|even\s)?asked\s(?:\w+\s){0,4}?(?:how|what|whether|if|why|which|where)\b|"
    # "I know how to mend a tube" asks nothing; "how do I know which one" does, and so does "I know what it is, but how …".
    r"(?<!\bdo )(?<!\bdid )(?<!\bcan )(?<!\bwill )(?<!\bwould )(?<!\bcould )(?<!\bshould )\b(?:i|we)\s(?:(?:well|already|do|now|certainly|of course|both|all)\s)?know\s(?:(?:well|perfectly well|exactly)\s)?(?:how|what|which|why|where)\b|"
    # "She knew how to fit one", "I've worked out how to do it"; must not catch "I don't know how to" or "haven't worked out how to".
    r"(?<!n't )(?<!n’t )(?<!not )(?<!never )\b(?:knew|remembered)\show\b|"
    r"(?<!n't )(?<!n’t )(?<!not )(?<!never )\b(?:worked|figured|found) out how\b|"
    # "That reminds me why I sold it", "amazed how long it lasted".
    r"\b(?:remind(?:s|ed|ing)?\s(?:me|myself|us)|amaz(?:ed|ing)|surpris(?:ed|ing)|astonish(?:ed|ing)|shock(?:ed|ing)|impress(?:ed|ive))\s(?:at\s|by\s|to see\s)?(?:how|what|why)\b|"
    # "I don't know what it was, but down I went" leaves open what was; must not catch "I don't know which to buy, but it must be light".
    r"\b(?:don't|don’t|do not|didn't|didn’t)\s(?:even\s|really\s|quite\s)?know\s(?:what|why|how|who)\s(?:(?:it|that|this|he|she|they|i|we)\s)?(?:was|were|did|had|got|happened|came|went)\b[^.?!]*?,?\sbut\b|"
    # "There are things I don't know how to fix": what somebody can't do in general isn't asked here.
    r"\b(?:things|stuff|jobs|repairs|parts)\s(?:that\s|which\s)?(?:i|we)\s(?:still\s)?(?:do not|don't|don’t|didn't|didn’t|never)\s(?:even\s)?(?:know|knew|learn(?:ed|t)?)\show\b|"
    # "I'll ask the shop if they've any ideas" asks somebody else.
    r"\bask(?:ing)?\s(?:the|one of|my|our|an?|some|someone|somebody|them|him|her|around|at)\b[^.?!]*?\b(?:if|whether|what|how|which|why)\b[^.?!]*"
)
# "Right?", "you know?" and "guess what I found?" belong to a story; alone they ask nothing.
_HOLLOW = re.compile(
    r"^\W*(?:right|you know(?: what)?|know what(?: i mean)?|what'?s not to love|how are you(?: all)?(?: doing)?|how's it going|"
    r"who'?s with me|am i right|remember me|(?:[^?]{1,80}[:,;–-]\s*)?how (?:odd|weird|strange|crazy|mad|cool|lucky|unlucky|silly|daft|typical|nice|great) (?:is|was) (?:that|this|it)|guess what(?: \w[^?]{0,60})?|really|ok|huh|eh|anyone else|why not)\W*\?+\W*$",
)
# A mark that stands for a part whose name the rider doesn't know: "a Brand X mech, ? chain, 8 speed cassette".
_UNNAMED = re.compile(r"[,;:(]\s*\?+\W*$")
# "Any clues, folks?", "Does anybody have any advice?": what it is about was told before it, or behind it.
BARE_WISH = re.compile(
    r"^\W*(?:so |but |and )?(?:any|does any(?:one|body)(?: here)? have any|has any(?:one|body)(?: here)?(?: got)? any) "
    r"(?:idea|clue|thought|suggestion|advice|tip|help|input|pointer|opinion)s?\b(?: (?:folks|guys|all|people|everyone|anyone|please|here))?\W*$"
)
# "The mechanic said 'do you wash your bike with a jet?'": what was asked of the rider is told, and asks nothing of the desk.
_ASKED_OF_THE_RIDER = re.compile(
    r"\b(?:said|says|asked|asks|replied|went|goes|wondered)\b[^?\"“]{0,30}[\"“][^\"”?]*\byour?\b[^\"”?]*\?[\"”]\W*$"
)
GREETING = re.compile(
    r"^\W*(?:hi|hello|hey|hiya|dear|good (?:morning|evening|afternoon|day)|greetings|morning|evening|thanks|thank you|"
    r"cheers|regards|best|kind regards|all the best|love the show|great show|keep (?:it )?up|ta|many thanks|best wishes)\b[^?]{0,80}$",
)
# "How long does a chain last?... far longer than they say": the writer answers it in the same breath.
_ANSWERED = re.compile(r"\?\s?(?:\.{2,}|…)\s?\w")
# 'He only said "is that legal?"': somebody else asked that. Must not catch 'my question is "will it hold?"'.
_SAID_BY_ANOTHER = re.compile(
    r"\b(?:says?|said|asks?|asked|asking|shout(?:s|ed|ing)?|yell(?:s|ed|ing)?|exclaim(?:s|ed|ing)?|cried|repl(?:y|ies|ied)|has become|became|goes|went)\b[^\"“”?]{0,25}"
    r"[\"“](?:[^\"“”?]*\?)+!*[\"”]\W*$"
)
# "Stored where it gets above 40 degrees (when was that? did I miss it?)": asks for no more than a smile. Must not catch "(who
# mends such a fork?)", "(is that safe?)" or "(did I do it wrong?)".
_REMARK = re.compile(
    r"\(\W*(?:and |but )?(?:when|where|who|whose|how come|how did) (?:was|were|did|had|has|knew|needs|does that|wouldn['’]?t|doesn['’]?t|hasn['’]?t|can blame)\b"
    r"([^()\n]{0,100}\?+)\s*\)\W*$"
)
_ANY_WORD = re.compile(r"\w")


_WHY = re.compile(r"^\W*(?:and |but |so )?(?:why(?: not)?|how come|the reason)\W*\?+\W*$")
# "No, they hadn't." Must not catch "No, I replaced it last week", which tells what the ask leaves open.
_SAYS_NO_MORE = re.compile(
    r"^\W*(?:well,? )?(?:no|nope|yes|yep|oh yes|oh no|of course)[,;:.!–-]*\s(?:it|they|he|she|i|we|that)\s"
    r"(?:had|has|have|was|were|is|are|did|does|do|would|could)(?:n['’]?t| not)?\W*$"
)
_BECAUSE = re.compile(r"^\W*(?:well,? )?(?:because|'?cause|cos|coz|'?cuz|since)\b")


def is_answered(sentence: str, behind: Sequence[str]) -> bool:
    """ "I pushed it home. Why? Because the chain came off.", "Was it flat? No, it was not.": asked only to be told at once."""
    if not behind:
        return False
    if _WHY.match(sentence):
        return _BECAUSE.match(behind[0]) is not None
    return "?" in sentence and _SAYS_NO_MORE.match(behind[0]) is not None


# "It's the same everywhere I guess?" seeks a nod. Must not catch "the chain is worn, I guess?", which names what is asked about.
_SEEKS_A_NOD = re.compile(r"\bi (?:guess|suppose|imagine|reckon|bet)\W*\?+\W*$")


def is_pleasantry(sentence: str) -> bool:
    """Whether a lowered sentence with a mark only seeks a nod, and names no part."""
    return _SEEKS_A_NOD.search(sentence) is not None and not names_a_part(sentence)


def is_ask(sentence: str) -> bool:
    """Whether a lowered sentence asks for something."""
    sentence = DOUBT.sub("", ASIDE.sub("", LIST_MARK.sub("", sentence)))
    if "?" in sentence:
        if (
            _HOLLOW.match(sentence)
            or _UNNAMED.search(sentence)
            or _ANSWERED.search(sentence)
            or _ASKED_OF_THE_RIDER.search(sentence)
        ):
            return False
        if _SAID_BY_ANOTHER.search(sentence) and "?" not in _SAID_BY_ANOTHER.sub("", sentence):
            return False
        remark = _REMARK.search(sentence)
        if remark is not None and not names_a_part(remark[1]):
            sentence = sentence[: remark.start()]
        elif _ANY_WORD.search(sentence):
            return True
    if GREETING.match(sentence):
        return False
    if _OR_ASKS.match(sentence):
        return True
    return bool(ASKS.match(sentence) and len(sentence.split()) > 3) or bool(
        ASKS_WITHIN.search(_NO_ASK.sub("", sentence)) or WISHES.search(_NO_ASK.sub("", sentence))
    )


# "I have a question about my gears, when I shift up it only clicks": all that is told behind it is the question. Must not catch "I had
# a question about brakes and found the answer", nor "no question this week".
HAS_A_QUESTION = re.compile(
    r"(?<!no )(?<!not )\b(?:i|we)(?:['’]ve| have)(?: got)? (?:just |only )?an? (?:\w+ )?(?:question|problem|query) (?:about|on|regarding|with|for)\b(?!.*\b(?:solved|sorted|fixed|found (?:it|the)|never mind|answered)\b)",
    re.DOTALL,
)
