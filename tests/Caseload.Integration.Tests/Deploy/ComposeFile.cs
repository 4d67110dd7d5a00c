using YamlDotNet.RepresentationModel;

namespace Caseload.Integration.Tests.Deploy;

/// <summary>A parsed compose file, asked by path: <c>Find("services", "web", "read_only")</c>.</summary>
internal sealed class ComposeFile
{
    private readonly YamlNode _top;

    private ComposeFile(YamlNode top) => _top = top;

    public static ComposeFile Parse(string text)
    {
        var stream = new YamlStream();
        using var reader = new StringReader(text);
        stream.Load(reader);
        return new ComposeFile(stream.Documents[0].RootNode);
    }

    public YamlNode? Find(params string[] path)
    {
        var node = (YamlNode?)_top;
        foreach (var step in path)
        {
            node = node is YamlMappingNode mapping && mapping.Children.TryGetValue(new YamlScalarNode(step), out var next) ? next : null;
        }

        return node;
    }

    public string? Text(params string[] path) => (Find(path) as YamlScalarNode)?.Value;

    /// <summary>The entries of a list, or the keys of a mapping.</summary>
    public IReadOnlyList<string> List(params string[] path) =>
        Find(path) switch
        {
            YamlSequenceNode sequence => [.. sequence.Children.OfType<YamlScalarNode>().Select(node => node.Value ?? "")],
            YamlMappingNode mapping => [.. mapping.Children.Keys.OfType<YamlScalarNode>().Select(node => node.Value ?? "")],
            _ => [],
        };
}
