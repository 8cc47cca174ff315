//! Words that people take for passwords: a list of our own of everyday English, of what is dear to
//! people, and of the bank. Three letters or more, lower case.

pub const WORDS: &str = "
password passwort passcode passphrase passkey pass word secret secrets login logon signin welcome access
admin administrator root user username guest default test tester testing changeme letmein letmeinnow
openup opensesame open sesame enter entry system computer internet server network website email master
manager boss owner iloveyou loveyou ihateyou trustno trustme whatever nothing something anything
everything nobody somebody anybody forgotten forget remember temp temporary private public hello
helloworld goodbye goodmorning goodnight please thanks thankyou sorry maybe okay yes never always forever
together love lovely lover loveme mylove baby babygirl babyboy sweet sweetie sweetheart darling honey
angel angels heaven heart hearts kisses princess prince queen king kingdom knight lady lord boy girl boys
girls mother father mummy daddy mum dad mom family brother sister brothers sisters son daughter granny
grandad grandma grandpa uncle auntie friend friends bestfriend wife husband married wedding birthday
christmas easter holiday holidays weekend monday tuesday wednesday thursday friday saturday sunday
january february march april may june july august september october november december spring summer
autumn winter season seasons today tomorrow yesterday morning midnight evening sunrise sunset sunshine
moonlight starlight rainbow thunder lightning storm stormy rain rainy snow snowy snowball snowman
snowflake frost frosty wind windy cloud cloudy sun moon star stars shooting sky blue bluesky ocean sea
seaside beach island mountain river lake pond stream canal water waterfall forest wood woods tree trees
flower flowers rose roses daisy lily violet poppy tulip orchid jasmine ivy heather garden gardener
gardening meadow field farm farmer orchard apple apples orange oranges banana bananas cherry cherries
lemon lemons peach peaches strawberry strawberries raspberry blackberry blueberry grape grapes melon pear
plum pineapple mango coconut carrot potato tomato pepper ginger garlic onion butter cheese bread biscuit
biscuits cookie cookies chocolate candy sugar spice cinnamon vanilla coffee tea beer wine whisky cider
brandy vodka pizza pasta burger bacon sausage chicken chips gravy pudding cake pie red green yellow
purple pink black white brown grey silver gold golden diamond diamonds crystal ruby emerald sapphire
pearl jewel treasure money cash rich million millionaire lucky luckyone fortune winner champion victory
hero heroes legend legends magic magical wizard witch dragon dragons monster demon devil ghost vampire
shadow shadows dark darkness darkside light phoenix unicorn fairy pirate pirates ninja samurai warrior
warriors hunter hunters killer sniper soldier ranger rebel rebels outlaw cowboy dog dogs doggy doggie
puppy puppies cat cats kitty kitten kittens rabbit bunny hamster pony horse horses cow sheep pig piglet
goat donkey mouse monkey monkeys gorilla tiger tigers lion lions panther leopard cheetah jaguar bear
bears panda wolf wolves fox foxes badger otter beaver squirrel hedgehog deer elephant giraffe zebra hippo
rhino camel kangaroo koala dolphin dolphins whale shark sharks turtle tortoise frog snake cobra python
viper lizard crocodile eagle falcon hawk owl robin swallow sparrow magpie raven swan duck ducks goose
heron kingfisher penguin parrot butterfly dragonfly ladybird spider scorpion bee bumblebee beetle fish
fishes fishing fisher fisherman fishermen fishface angler anglers angling gonefishing catch catcher
bigfish catfish carp carpfishing carper mirrorcarp commoncarp ghostcarp roach rudd bream perch pike pikes
tench chub dace barbel gudgeon crucian trout salmon eel zander skimmer skimmers silvers tackle tacklebox
bait maggot maggots worm worms pellet pellets boilie boilies groundbait method feeder waggler pole rod
rods reel reels line hook hooks float floats keepnet landingnet net nets lure lures spinner flyfishing
fly swim swimming peg pegs bank lakeside riverbank match matches league leagues weighin club football
footballer footy rugby cricket cricketer tennis golf golfer golfing hockey netball basketball baseball
softball volleyball badminton snooker darts boxing boxer wrestling running runner cycling cyclist skiing
surfing surfer sailing sailor rowing rower climbing hiking walking dancing dancer singing singer guitar
guitars piano drums drummer music musician player players playing soccer goalkeeper striker captain
charlie michael jessica jennifer daniel matthew andrew joshua thomas robert william richard george james
john david paul peter mark martin stephen steven simon andrea nicola nicole michelle amanda ashley
samantha hannah emma emily sarah laura lauren rachel rebecca charlotte sophie olivia chloe megan molly
ellie jack harry oliver jacob alfie archie freddie alexander benjamin samuel joseph christopher anthony
patrick maggie buster bella max rocky sam toby teddy teddybear smokey misty sooty oscar engineer mechanic
driver trucker builder plumber carpenter painter doctor nurse teacher student school college university
office work worker working company business freedom peace justice liberty england english britain british
scotland scottish ireland irish wales welsh london america american canada australia france germany italy
spain europe world country city village house home homesweethome kitchen bedroom window door table chair
pencil paper book books reader letter letters number numbers picture camera phone telephone mobile
television radio video movie movies games gamer gaming puzzle chess poker motorbike motorcycle bicycle
tractor caravan train trains railway steam engine diesel turbo rocket space spaceman galaxy planet
jupiter saturn mercury venus pluto apollo alpha omega delta gamma sigma zero one two three four five six
seven eight nine ten eleven twelve hundred thousand
";
