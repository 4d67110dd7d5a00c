using System.Security.Cryptography;

namespace Caseload.Web.Platform.Access;

/// <summary>Passwords that the program makes itself, for the demo and for a first sign-in: plain words and a number, easy to read out.</summary>
/// <remarks>Five different words of 512 and six digits are a little less than 65 random bits.</remarks>
public static class MadePasswords
{
    /// <summary>How many different words a password has.</summary>
    public const int WordCount = 5;

    /// <summary>How many digits stand at its end.</summary>
    public const int DigitCount = 6;

    private const string Separator = "-";

    /// <summary>The words to choose from: plain things, plants and animals.</summary>
    public static IReadOnlyList<string> Words { get; } =
        """
            acorn alley almond amber anchor antler anvil apple apricot apron arbor arch arrow attic autumn awning badger bagel bakery
            balcony bamboo banjo barley barn barrel basil basket beacon beaver bench berry bicycle birch biscuit blanket blossom boat
            bonfire bonnet bottle boulder bracket bramble branch bread breeze brick bridge broom bubble bucket buffalo bundle burrow butter
            button cabbage cabin cactus camel canary candle canoe canvas canyon caramel carpet carrot cashew castle catfish cavern cedar
            celery cello chalk cheese cherry chimney cider circle citrus clam clay cliff cloak clover coast cobalt cobble cocoa coconut
            comet compass copper coral corner cottage cotton coyote crab cradle crane crater crayon cricket crocus crow crumb crystal cuckoo
            curtain cushion cymbal dahlia daisy dawn delta denim desert diamond dinner dolphin domino donkey drizzle drum dune eagle easel
            echo eclipse elm ember emerald evening fabric falafel falcon feather fennel fern ferret ferry fiddle field fig finch fjord flag
            flannel flask flint flute foam fog forest fossil fox frost fudge funnel galaxy gallop garden garlic garnet gazelle gecko geyser
            gherkin ginger giraffe glacier glade globe glove goat goblet gondola goose granite grape gravel grotto guitar gull hammer
            hammock hamster harbor harp harvest hawk hazel heather hedge helmet herb heron hinge holly honey horizon hornet hutch ibis
            iceberg icicle indigo island ivory ivy jacket jaguar jasmine jelly jigsaw jingle journal jungle juniper kayak kelp kennel kernel
            kettle kiosk kite kitten kiwi koala ladder ladle lagoon lake lantern larch lark lasagna lava leaf ledge lemon lentil lettuce
            lichen lilac lily lime linen lizard llama lobster locket lotus lumber lynx magnet magpie mallard mango mantle maple marble
            market marsh meadow meerkat melon meteor midnight mill mimosa minnow mint mirror mitten molasses moon moose mosaic moss moth
            mountain muffin mulberry mural mushroom mustard napkin nectar needle nest nettle newt nickel noodle nugget nutmeg nutshell oak
            oasis oatmeal ocean olive onion opal orange orbit orchard orchid osprey ostrich otter oven owl oyster paddle palm pancake pansy
            panther papaya paprika parade parcel parrot parsley parsnip pastry patio peach peacock peanut pear pebble pelican pencil penguin
            peony pepper petal pheasant piano pickle picnic pigeon pillow pine pinecone planet platypus plaza plover plum pocket polka
            pollen pond poplar poppy porch potato prairie pretzel primrose prism pudding puddle puffin pulley pumpkin puzzle quail quarry
            quartz quilt quince rabbit raccoon radish raft rafter rain raisin raven reef reindeer rhubarb ribbon ridge ripple river robin
            rocket rosebud rosemary rowboat rudder saddle saffron sail salmon sandal sardine satchel saucer scarf seagull seahorse sesame
            shelf shell sherbet shore shovel silver sketch sled slipper snail snow snowdrop sofa sonnet sorbet spark sparrow spinach spiral
            sponge spruce squash stable starling steam stone stork straw stream sundial sunset swallow swan syrup tadpole tapestry teacup
            teapot teaspoon thicket thimble thistle thunder ticket tiger timber toast toffee tomato topaz torch tortoise toucan tower
            tractor trail trellis trout trumpet tugboat tulip tundra tunnel turnip turtle tweed twig umbrella valley vanilla velvet vineyard
            violet violin volcano waffle wagon wallaby walnut walrus warbler weasel whale wheat whistle willow windmill window winter wolf
            wombat wool wren yarn yogurt zebra zephyr zigzag zinnia zucchini
            """.Split((char[])[' ', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries);

    /// <summary>Makes a password.</summary>
    public static string New()
    {
        var chosen = new HashSet<string>();
        while (chosen.Count < WordCount)
        {
            chosen.Add(Words[RandomNumberGenerator.GetInt32(Words.Count)]);
        }
        return string.Join(Separator, [.. chosen, RandomNumberGenerator.GetString("0123456789", DigitCount)]);
    }
}
