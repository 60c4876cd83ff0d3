"""What invented riders say around an ask: greetings, stories, sign-offs, quoted mail, and a little of other languages.

A `{name}` in a line is filled by `benchmarks.inbox.voice.filled` with something new each time.
"""

from __future__ import annotations

GREETINGS = (
    "Hi all,", "Hello,", "Hi there,", "Dear team,", "Hey,", "Good evening,", "Morning,", "Hello from {place},",
    "Greetings from {place}!", "Hiya,", "Dear show,", "Hi both,", "Good day to you,", "Hello again,", "Hi folks,",
)  # fmt: skip
COMMENT_GREETINGS = (
    "hi,",
    "Hey guys,",
    "Hello from {place},",
    "Question:",
    "Great episode.",
    "@{name}",
    "Hi!",
)
SIGN_OFFS = (
    "Cheers, {me}", "Thanks, {me}", "Many thanks\n{me}", "Best wishes,\n{me}", "Kind regards\n{me}", "{me}",
    "Ta, {me}", "Regards, {me} from {place}", "Thank you in advance!\n{me}", "Keep it up. {me}", "All the best, {me}",
    "Greetings from {place}, {me}",
)  # fmt: skip
COMMENT_SIGN_OFFS = (
    "thanks",
    "cheers from {place}",
    "Ta, {me}",
    "thx",
    "Thanks in advance, {me}",
    "Any help welcome.",
)
SIGNATURES = (
    "{me} {my_surname}\n+00 555 {digits}", "{me} {my_surname}\n{place} Wheelers, treasurer", "Sent from my phone",
    "{me} {my_surname}, {street} {small}, {place}\nTel. +00 {digits} {digits}",
    "{my_surname} & Daughters, joiners, {place}\nOrders: {code}",
    "Dr {me} {my_surname}\nDepartment of Soils, University of {place}", "--- {me} on the move, please excuse typos ---",
)  # fmt: skip
STORIES = (
    "I ride about {km} km a week, mostly around {place}.", "The bike is a {year} {model} that I bought from {name} in {place}.",
    "It began on {day} on the road from {place} to {place}.", "I have had the bike for {small} years and never touched this.",
    "My neighbour {name} says it's nothing.", "{name} at {surname}'s in {place} quoted me {price} for it.",
    "I am {age}, {kg} kg and not very handy.", "The invoice ({code}) only says \"service\".", "It's a {model}, frame number {code}.",
    "We leave for {place} in {small} weeks.", "I do {km} km to work and back, in all weathers.",
    "The weather in {place} has been dreadful.",
    "I wrote about this in {month} but may have used the wrong address.", "I followed your episode of {month} to the letter.",
    "Last year I rode from {place} to {place} on it without a problem.", "It came from a clearance in {place}, no papers at all.",
    "My {relative} {name} gave it to me when the {model} was sold.", "For what it's worth I weigh {kg} kg with my bags.",
    "The shop in {place} has closed since old {surname} retired.", "It has done roughly {thousands} km by now.",
    "On the {model} of my {relative} it works perfectly.", "I'm in the {place} club, and there are {small} opinions about it.",
    "I looked at {site} but they contradict each other.", "Bought used for {price} in {month}.", "My stand is a rope from the garage roof.",
    "The {surname} hill is where I notice it most.", "I keep a log: this is entry {digits}.", "The tin says {code} if that means anything.",
)  # fmt: skip
ALSO = (
    "Also, ",
    "Second question: ",
    "And another thing, ",
    "One more: ",
    "PS ",
    "While I'm here: ",
    "Oh and, ",
    "Secondly, ",
)
STILL = (
    "Tried that, still the same.", "Did what you said last time and it's better but not gone.",
    "Your answer helped, thank you, but now something else.",
    "That was not it, sadly.", "I changed it as you wrote in {month}, {small} rides ago.", "Following up on my mail of {day}.",
)  # fmt: skip
SUBJECTS = (
    "question", "Question for the show", "help please", "a question from {place}", "{model}", "Quick one", "advice wanted", "my {model}",
    "For the next episode", "Re: last week", "{name}'s bike", "bike trouble in {place}", "something for you",
)  # fmt: skip
QUOTED = (
    "On {day}, the desk wrote:", "On {day} at {small}:{minute} Questions <questions@show.invalid> wrote:", "-----Original Message-----",
)  # fmt: skip
FOREIGN = {
    "german": (
        ("Hallo zusammen,", "Guten Tag,", "Moin aus {place},", "Servus,"),
        ("meine Kette", "das Schaltwerk", "die hintere Bremse", "mein Reifen", "das Tretlager", "die Felge vorne", "der Steuersatz"),
        ("knackt seit {small} Wochen bei jedem Tritt", "quietscht bei Regen ganz furchtbar", "hat nach {thousands} km viel Spiel",
         "rutscht unter Last durch", "verliert jede Nacht {small} bar", "ist nach dem Sturz in {place} leicht verbogen"),
        ("Woran kann das liegen?", "Muss ich das tauschen, oder kann man es noch fahren?", "Passt da auch das Teil {code} hinein?",
         "Wie fest muss die Schraube sein?", "Was würdet ihr mir raten?"),
    ),
    "french": (
        ("Bonjour,", "Salut à tous,", "Bonsoir de {place},"),
        ("ma chaîne", "le dérailleur arrière", "mon frein avant", "le pneu arrière", "le boîtier de pédalier", "la jante"),
        ("craque depuis {small} semaines", "saute sous la charge", "frotte après {thousands} km", "fait du bruit quand il pleut",
         "perd {small} bars par nuit", "est voilée depuis ma chute à {place}"),
        ("Qu'est-ce que je dois vérifier ?", "Est-ce dangereux de rouler ainsi ?", "Faut-il le remplacer par le {code} ?",
         "Quel couple de serrage conseillez-vous ?"),
    ),
    "spanish": (
        ("Hola,", "Buenas tardes desde {place},", "Hola a todos,"),
        ("mi cadena", "el cambio trasero", "el freno delantero", "la cubierta trasera", "el eje de pedalier"),
        ("hace ruido desde hace {small} semanas", "salta cuando subo", "tiene holgura después de {thousands} km", "pierde aire cada noche"),
        ("¿Qué puede ser?", "¿Tengo que cambiarlo o puedo seguir?", "¿Vale la pieza {code}?", "¿Qué presión me recomiendan para {kg} kg?"),
    ),
    "dutch": (
        ("Hallo,", "Goedemorgen uit {place},", "Beste mensen,"),
        ("mijn ketting", "de achterderailleur", "mijn voorrem", "de achterband", "de trapas"),
        ("kraakt al {small} weken", "slaat over bij het aanzetten", "heeft speling na {thousands} km", "loopt elke nacht leeg"),
        ("Wat kan dat zijn?", "Moet ik hem vervangen of kan ik gewoon doorrijden?", "Past onderdeel {code} daar ook op?"),
    ),
    "polish": (
        ("Dzień dobry,", "Cześć,", "Pozdrowienia z {place},"),
        ("mój łańcuch", "tylna przerzutka", "przedni hamulec", "tylna opona", "suport"),
        ("trzeszczy od {small} tygodni", "przeskakuje pod obciążeniem", "ma luz po {thousands} km", "piszczy w deszczu"),
        ("Co to może być?", "Czy trzeba wymienić, czy można jeszcze jeździć?", "Czy pasuje część {code}?"),
    ),
    "italian": (
        ("Ciao,", "Buongiorno da {place},", "Salve a tutti,"),
        ("la catena", "il cambio posteriore", "il freno davanti", "il copertone", "il movimento centrale"),
        ("fa rumore da {small} settimane", "salta sotto sforzo", "ha gioco dopo {thousands} km", "fischia quando piove"),
        ("Cosa può essere?", "Devo cambiarlo o posso andare avanti?", "Va bene il pezzo {code}?", "Quale pressione per {kg} kg?"),
    ),
}  # fmt: skip
# Words that riders use for the same thing; each stands for any other of its line, in the same grammar.
SAME = (
    ("bike", "bicycle", "machine"), ("tyre", "tire"), ("tyres", "tires"), ("shop", "bike shop", "workshop", "dealer"),
    ("bought", "got", "picked up", "purchased"), ("fix", "repair", "sort out", "mend"), ("noise", "sound", "racket"),
    ("very", "really", "quite", "rather"), ("mate", "friend", "pal", "buddy", "clubmate", "colleague"), ("big", "large"),
    ("small", "little"), ("worn", "worn out", "tired"), ("swap", "change", "replace"), ("loose", "slack"), ("wet", "damp", "soaked"),
    ("sometimes", "now and then", "at times", "every so often"), ("worried", "nervous", "uneasy", "anxious"), ("perhaps", "maybe"),
    ("trip", "tour", "journey"), ("told me", "said to me", "reckoned", "insisted"), ("video", "clip", "film"),
    ("wife", "husband", "partner"),
    ("son", "daughter", "kid", "nephew", "niece"), ("winter", "autumn", "spring", "summer"), ("yesterday", "on {day}", "last night"),
    ("last week", "the other day", "on {day}", "a fortnight ago"), ("is it ok to", "is it okay to", "is it fine to", "is it all right to"),
    ("how do i", "how can i", "how would i", "how should i"), ("can i", "could i", "may i"), ("should i", "ought i to", "do i have to"),
    ("do i need", "will i need", "would i need"), ("what is", "what's"), ("i am", "i'm"), ("i have", "i've got"), ("it is", "it's"),
    ("do not", "don't"), ("cannot", "can't"), ("does not", "doesn't"), ("is there", "might there be"), ("bloke", "chap", "fellow", "guy"),
    ("commute", "ride to work", "daily ride"), ("garage", "shed", "cellar", "hallway"), ("cheap", "inexpensive", "bargain"),
    ("expensive", "dear", "pricey"), ("online", "on the internet", "from {site}"), ("tighten", "do up", "nip up"), ("clean", "spotless"),
    ("scratch", "scrape", "scuff"), ("ride", "outing", "spin"), ("quickly", "fast", "in no time"), ("slowly", "bit by bit"),
)  # fmt: skip
RELATIVES = (
    "brother",
    "sister",
    "uncle",
    "father-in-law",
    "cousin",
    "grandmother",
    "aunt",
    "nephew",
    "godson",
)
COINS = ("euros", "pounds", "francs", "crowns")
DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December",
)  # fmt: skip
# Invented names are put together from these: none is a real family, town or maker that we know of.
STARTS = (
    "Al", "Bar", "Bel", "Bran", "Cor", "Dal", "Der", "Dun", "El", "Fen", "Gar", "Gol", "Har", "Hel", "Ib", "Jas", "Kel", "Kor", "Lam",
    "Lor", "Mar", "Mel", "Mor", "Nar", "Nor", "Ol", "Or", "Pel", "Quen", "Ras", "Rol", "Sal", "Sel", "Tal", "Tor", "Ul", "Val", "Ver",
    "Wal", "Wen", "Yar", "Zel",
)  # fmt: skip
MIDDLES = (
    "a", "e", "i", "o", "u", "an", "en", "in", "on", "ar", "er", "or", "ber", "den", "fen", "gar", "ka", "la", "len", "min", "na", "ne",
    "ri", "ro", "sa", "ta", "ti", "va", "ve", "wa", "zo",
)  # fmt: skip
SURNAME_ENDS = (
    "wick",
    "sen",
    "feld",
    "mann",
    "ski",
    "ova",
    "etti",
    "ard",
    "quist",
    "bury",
    "dottir",
    "aglu",
    "escu",
    "ley",
    "strom",
    "oux",
)
PLACE_ENDS = (
    "thorpe",
    "ham",
    "ford",
    "dale",
    "stead",
    "by",
    "moor",
    "beck",
    "holm",
    "au",
    "ach",
    "ville",
    "grad",
    "hausen",
    "mere",
    "ness",
)
MODEL_ENDS = ("io", "ax", "on", "ek", "is", "aro", "ine", "us", "ette", "or", "ant", "iva")
